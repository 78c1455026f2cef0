"""What a coach answered to a decision that waited for them. Appended, never changed."""

from __future__ import annotations

from django.db import models

from athletes.records import choices
from athletes.records.models.constraints import code_required
from athletes.records.models.events import Event
from athletes.records.models.people import Account, Athlete


class Decision(models.Model):
    """The answer to one deadline of an entry or to the plan for it; `site` is empty where the deadline has none.

    `about` holds the facts that were asked about as they stood; once they move, the same is asked again.
    """

    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="decisions")
    event = models.ForeignKey(Event, on_delete=models.CASCADE, related_name="decisions")
    kind = models.CharField(max_length=32)
    site = models.CharField(max_length=32, blank=True, default="")
    answer = models.CharField(max_length=8)
    why = models.TextField(blank=True, default="")
    about = models.CharField(max_length=200, blank=True, default="")
    made_at = models.DateTimeField()
    by = models.ForeignKey(Account, on_delete=models.SET_NULL, null=True, related_name="+")

    class Meta:
        constraints = [code_required("decision", "answer", choices.ANSWERS)]
        indexes = [models.Index(fields=["athlete", "made_at"], name="decision_by_time")]

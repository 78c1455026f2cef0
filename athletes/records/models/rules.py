"""What people decided about the rulebook: a club's own ranges and wording, and pauses that somebody overruled."""

from __future__ import annotations

from django.db import models

from athletes.records.models.constraints import code_required
from athletes.records.models.people import Account, Athlete, Club

PAUSES = ("timing", "skin-kind", "site", "clash")


class RuleChange(models.Model):
    """One key of one entry of the rulebook, as the club wants it from a day on. Appended, never changed."""

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="rule_changes")
    rule = models.CharField(max_length=64)
    key = models.CharField(max_length=32)
    value = models.JSONField()
    from_day = models.DateField()
    reason = models.TextField()
    made_at = models.DateTimeField()
    by = models.ForeignKey(Account, on_delete=models.SET_NULL, null=True, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(condition=~models.Q(reason=""), name="rulechange_has_a_reason"),
        ]


class OverruledPause(models.Model):
    """A named person lets a paused form go ahead on one day, and says why. Hard stops have no class here."""

    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="overruled")
    form = models.CharField(max_length=32)
    refusal_class = models.CharField(max_length=16)
    local_date = models.DateField()
    note = models.TextField()
    given_on = models.DateField()
    made_at = models.DateTimeField()
    by = models.ForeignKey(Account, on_delete=models.SET_NULL, null=True, related_name="+")
    by_name = models.CharField(max_length=200)

    class Meta:
        constraints = [
            code_required("overruledpause", "refusal_class", PAUSES),
            models.CheckConstraint(condition=~models.Q(note=""), name="overruledpause_has_a_note"),
        ]
        indexes = [models.Index(fields=["athlete", "local_date"], name="overruled_by_day")]

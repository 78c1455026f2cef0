"""What a correction replaced: the row as it stood, when, by whom and why."""

from __future__ import annotations

from django.db import models

from athletes.records.models.people import Account, Athlete


class Correction(models.Model):
    """`athlete` is NULL where the row is nobody's own, as an event is."""

    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, null=True, related_name="corrections")
    table = models.CharField(max_length=32)
    row_id = models.BigIntegerField()
    made_at = models.DateTimeField()
    by = models.ForeignKey(Account, on_delete=models.SET_NULL, null=True)
    before = models.JSONField()
    after = models.JSONField()
    why = models.TextField(blank=True, default="")

    class Meta:
        indexes = [models.Index(fields=["table", "row_id"], name="correction_by_row")]

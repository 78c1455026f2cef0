"""What an athlete asked to have erased, and what was."""

from __future__ import annotations

from django.db import models

from athletes.records.models.people import Athlete


class ErasureAsked(models.Model):
    """An athlete's wish to have everything erased; it may be taken back until `due_at`."""

    athlete = models.OneToOneField(Athlete, on_delete=models.CASCADE, related_name="erasure_asked")
    asked_at = models.DateTimeField()
    due_at = models.DateTimeField(db_index=True)
    by = models.BigIntegerField(null=True)


class Erased(models.Model):
    """An erasure that was done: a number of the table and a digest, from which nobody is known again."""

    subject = models.BigIntegerField()
    digest = models.CharField(max_length=64)
    erased_at = models.DateTimeField()
    rows = models.IntegerField()

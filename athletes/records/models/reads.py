"""Who could read what of whom: every request that the door let through, and support's look behind it."""

from __future__ import annotations

from django.db import models

from athletes.records.models.people import Athlete


class AccessLog(models.Model):
    """One request in which somebody other than the athlete could read. Written before the answer leaves.

    Whom it concerns stands in the rows of `AccessScope` under the same `scope`, a digest of just those rows: a coach
    who opens the same list every morning adds one row here and none there. Accounts and people are keys without a
    foreign key, so that the row outlives them and holds no name.
    """

    at = models.DateTimeField(db_index=True)
    account = models.BigIntegerField(null=True)
    person = models.BigIntegerField(null=True)
    roles = models.CharField(max_length=64)
    purpose = models.CharField(max_length=64)
    what = models.CharField(max_length=64)
    method = models.CharField(max_length=8)
    program = models.BooleanField(default=False)
    scope = models.CharField(max_length=32)

    class Meta:
        indexes = [models.Index(fields=["scope", "at"], name="accesslog_by_scope")]


class AccessScope(models.Model):
    """One athlete within a scope, and the classes of data that were open."""

    scope = models.CharField(max_length=32)
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="+")
    classes = models.CharField(max_length=64)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["scope", "athlete"], name="accessscope_once")]


class BrokenGlass(models.Model):
    """Support let in to one athlete's record for an hour at most, for a reason that the athlete reads."""

    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="+")
    person = models.BigIntegerField()
    person_name = models.CharField(max_length=200)
    reason = models.TextField()
    opened_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    closed_at = models.DateTimeField(null=True)
    told_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=~models.Q(reason=""), name="brokenglass_has_a_reason"),
        ]

"""Doors for other programs: tokens, and what was already sent under a key."""

from __future__ import annotations

from django.db import models

from athletes.records.models.people import Account, Athlete


class ApiToken(models.Model):
    """A program's key to one account. Only a SHA-256 of its 256-bit random secret is kept; `prefix` finds the row."""

    account = models.ForeignKey(Account, on_delete=models.CASCADE, related_name="tokens")
    prefix = models.CharField(max_length=12, unique=True)
    digest = models.CharField(max_length=64)
    scopes = models.JSONField(default=list)
    label = models.CharField(max_length=60, blank=True, default="")
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True)
    last_used_on = models.DateField(null=True)


class SentBefore(models.Model):
    """A request that was stored under its Idempotency-Key, with the answer it got; `status` is NULL only inside the
    transaction that stores the fact.
    """

    account = models.ForeignKey(Account, on_delete=models.CASCADE, related_name="+")
    key = models.CharField(max_length=255)
    digest = models.CharField(max_length=64)
    made_at = models.DateTimeField(db_index=True)
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, null=True, related_name="+")
    status = models.SmallIntegerField(null=True)
    body = models.TextField(blank=True, default="")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["account", "key"], name="sent_once")]

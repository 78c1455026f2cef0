"""What phones kept until there was a signal, as it arrived; and whom to call where there is none."""

from __future__ import annotations

from django.db import models

from athletes.records.models.people import Account, Athlete


class Delivery(models.Model):
    """One entry of a phone's queue: `about` names what it tells of, the order of entries is (`seq`, `device`).

    A row without a device holds what had been told by another way since the last one arrived, so that nothing that
    stood is lost when an older entry comes late. `said_at` and `skew_s` are what the phone thought of the time: kept
    to be read, trusted for nothing.
    """

    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="deliveries")
    by = models.ForeignKey(Account, on_delete=models.SET_NULL, null=True, related_name="+")
    kind = models.CharField(max_length=16)
    about = models.CharField(max_length=40)
    device = models.CharField(max_length=32, blank=True, default="")
    seq = models.BigIntegerField()
    said_at = models.DateTimeField(null=True)
    skew_s = models.FloatField(null=True)
    timezone = models.CharField(max_length=64, blank=True, default="")
    arrived_at = models.DateTimeField(db_index=True)
    body = models.JSONField(default=dict)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["athlete", "device", "seq"], condition=~models.Q(device=""), name="delivered_once"
            ),
        ]
        indexes = [models.Index(fields=["athlete", "kind", "about"], name="delivery_by_about")]


class WhomToCall(models.Model):
    """One line of the card for an emergency: a clinic, a guardian, whoever drives. In the athlete's own words."""

    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="to_call")
    ordinal = models.SmallIntegerField()
    name = models.CharField(max_length=80)
    number = models.CharField(max_length=40)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["athlete", "ordinal"], name="to_call_once")]

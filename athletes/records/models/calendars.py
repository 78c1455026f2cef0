"""Calendar feeds: an address with a secret in it, and what was last told under it."""

from __future__ import annotations

import uuid

from django.db import models

from athletes.records import choices
from athletes.records.models.constraints import code_required, in_order
from athletes.records.models.people import Account


class CalendarFeed(models.Model):
    """One address of one account. Only a SHA-256 of its 256-bit random secret is kept; a feed that is ended is gone, so
    that nothing tells it from one that never was. `names` keeps the UIDs of its entries apart from every other's.
    """

    account = models.ForeignKey(Account, on_delete=models.CASCADE, related_name="calendar_feeds")
    kind = models.CharField(max_length=8)
    digest = models.CharField(max_length=64, unique=True)
    names = models.UUIDField(default=uuid.uuid4)
    made_at = models.DateTimeField()
    used_on = models.DateField(null=True)

    class Meta:
        constraints = [code_required("feed", "kind", choices.FEED_KINDS)]


class CalendarItem(models.Model):
    """One entry as it was last told, so that a change counts up and what went is told as cancelled.

    A whole day or several have `first_day` and `last_day`; what happens at an instant has `at` and its zone as well.
    """

    feed = models.ForeignKey(CalendarFeed, on_delete=models.CASCADE, related_name="items")
    key = models.CharField(max_length=40)
    kind = models.CharField(max_length=8)
    first_day = models.DateField()
    last_day = models.DateField()
    at = models.DateTimeField(null=True)
    zone = models.CharField(max_length=64, blank=True, default="")
    sequence = models.PositiveIntegerField(default=0)
    changed_at = models.DateTimeField()
    cancelled = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["feed", "key"], name="calendar_item_once"),
            in_order("calendar_item", "first_day", "last_day"),
            code_required("calendar_item", "kind", choices.FEED_ITEM_KINDS),
        ]

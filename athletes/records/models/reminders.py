"""What somebody asked to be reminded of, where it may be sent, and what is to be sent."""

from __future__ import annotations

from django.db import models

from athletes.records import choices
from athletes.records.models.constraints import between, code_required
from athletes.records.models.people import Account


class ReminderWay(models.Model):
    """How an account wants to be reached: in which zone its hours are meant, when it is left alone (minutes of the
    local day, which may run over midnight), and a mail address, which counts once it was confirmed from the mail.
    """

    account = models.OneToOneField(Account, on_delete=models.CASCADE, related_name="reminder_way")
    timezone = models.CharField(max_length=64, blank=True, default="")
    quiet_from = models.SmallIntegerField(default=21 * 60)
    quiet_to = models.SmallIntegerField(default=7 * 60)
    mail_to = models.CharField(max_length=190, blank=True, default="")
    mail_confirmed = models.BooleanField(default=False)

    class Meta:
        constraints = [between("reminder_way", name, 0, 1439) for name in ("quiet_from", "quiet_to")]


class ReminderWish(models.Model):
    """One kind that was asked for, at a minute of the local day; `due_at` is the next instant (UTC) at which it is due,
    of the local day `due_on`.
    """

    account = models.ForeignKey(Account, on_delete=models.CASCADE, related_name="reminder_wishes")
    kind = models.CharField(max_length=8)
    minute = models.SmallIntegerField()
    due_on = models.DateField()
    due_at = models.DateTimeField(db_index=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["account", "kind"], name="reminder_wish_once"),
            between("reminder_wish", "minute", 0, 1439),
            code_required("reminder_wish", "kind", choices.REMINDER_KINDS),
        ]


class PushAddress(models.Model):
    """Where a browser's maker takes messages for one browser (RFC 8030), and the two keys that only it reads with."""

    account = models.ForeignKey(Account, on_delete=models.CASCADE, related_name="push_addresses")
    endpoint = models.TextField()
    digest = models.CharField(max_length=64, unique=True)
    p256dh = models.CharField(max_length=100)
    auth = models.CharField(max_length=40)
    browser = models.CharField(max_length=60, blank=True, default="")
    made_at = models.DateTimeField()


class Reminder(models.Model):
    """One message for one place. It goes out once, or lapses: `state` is waiting, sending, sent, gone or lapsed."""

    account = models.ForeignKey(Account, on_delete=models.CASCADE, related_name="reminders")
    push = models.ForeignKey(PushAddress, on_delete=models.CASCADE, null=True, related_name="reminders")
    kinds = models.CharField(max_length=60)
    made_at = models.DateTimeField()
    next_try_at = models.DateTimeField()
    lapses_at = models.DateTimeField()
    attempts = models.SmallIntegerField(default=0)
    state = models.CharField(max_length=8, default="waiting")

    class Meta:
        constraints = [code_required("reminder", "state", choices.REMINDER_STATES)]
        indexes = [models.Index(fields=["state", "next_try_at"], name="reminder_by_time")]

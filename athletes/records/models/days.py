"""What happened or is planned day by day: check-ins, sessions, days away."""

from __future__ import annotations

from django.db import models

from athletes.records import choices
from athletes.records.models.constraints import between, code_required, in_order, one_of
from athletes.records.models.people import Athlete


class CheckIn(models.Model):
    """One morning's answers. An unanswered question is NULL; `marks` is a list of [site, mark]."""

    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="checkins")
    local_date = models.DateField()
    made_at = models.DateTimeField(null=True)
    rating_step = models.SmallIntegerField(null=True)
    reserve = models.SmallIntegerField(null=True)
    dampness = models.SmallIntegerField(null=True)
    hardness = models.SmallIntegerField(null=True)
    sting = models.SmallIntegerField(null=True)
    pull_pain = models.SmallIntegerField(null=True)
    agent_used = models.BooleanField(null=True)
    marks = models.JSONField(default=list)
    red_flags = models.JSONField(default=list)
    seconds = models.FloatField(null=True)
    note = models.TextField(blank=True, default="")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["athlete", "local_date"], name="checkin_once_a_day"),
            *(
                between("checkin", c, 0, 10)
                for c in ("reserve", "dampness", "hardness", "sting", "pull_pain")
            ),
            between("checkin", "rating_step", 1, 2),
            between("checkin", "seconds", 0, 86400),
        ]


class Session(models.Model):
    """One session, planned or done; the two are separate rows."""

    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="sessions")
    local_date = models.DateField()
    ordinal = models.SmallIntegerField(null=True)
    planned = models.BooleanField()
    minutes = models.FloatField(null=True)
    rpe = models.FloatField(null=True)
    surface = models.CharField(max_length=16, blank=True, default="")
    hard_tries = models.IntegerField(null=True)
    skin_limited = models.BooleanField(null=True)
    place = models.ForeignKey("records.Place", on_delete=models.SET_NULL, null=True)
    started_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            between("session", "ordinal", 1, 9),
            between("session", "minutes", 0, 1440),
            between("session", "rpe", 0, 10),
            between("session", "hard_tries", 0, 1000),
            one_of("session", "surface", choices.SURFACES),
        ]
        indexes = [models.Index(fields=["athlete", "local_date"], name="session_by_day")]


class Away(models.Model):
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="away_days")
    first_day = models.DateField()
    last_day = models.DateField()
    kind = models.CharField(max_length=16)

    class Meta:
        constraints = [
            code_required("away", "kind", choices.AWAY_KINDS),
            in_order("away", "first_day", "last_day"),
        ]

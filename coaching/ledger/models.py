"""Conclusions, and what is not yet concluded. All here but the staleness rows can be computed again from the facts.

Athletes, squads and events are named by the integer keys of their records; there is no foreign key, because conclusions
must not reach into the records and outlive no fact.
"""

from __future__ import annotations

from django.db import models


class Staleness(models.Model):
    """One row an athlete: the revision of the facts, and the revision the conclusions stand for.

    `due_at` is the next instant (UTC) at which the conclusions go out of date by the clock alone: the athlete's next
    local midnight.
    """

    athlete_id = models.BigIntegerField(primary_key=True)
    input_rev = models.BigIntegerField(default=1)
    computed_rev = models.BigIntegerField(default=0)
    raised_at = models.DateTimeField()
    computed_at = models.DateTimeField(null=True)
    due_at = models.DateTimeField(null=True)
    attempts = models.IntegerField(default=0)
    claimed_until = models.DateTimeField(null=True)
    claimed_by = models.CharField(max_length=32, blank=True, default="", db_index=True)
    failure = models.TextField(blank=True, default="")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(computed_rev__lte=models.F("input_rev")), name="computed_not_ahead_of_input"
            ),
        ]
        indexes = [models.Index(fields=["due_at"], name="staleness_due")]


class Conclusion(models.Model):
    """What is concluded about one athlete on one local day.

    `body` holds the athlete's part (medical, today, limits, steps, refused), `picture` what the pages draw (strip,
    course, hands), both as plain JSON.
    """

    athlete_id = models.BigIntegerField()
    as_of = models.DateField()
    model = models.CharField(max_length=32)
    rulebook = models.CharField(max_length=32)
    inputs_digest = models.CharField(max_length=64)
    input_rev = models.BigIntegerField()
    computed_at = models.DateTimeField()
    medical = models.CharField(max_length=16)
    may_climb = models.CharField(max_length=32)
    known_until = models.DateField(null=True)
    body = models.JSONField()
    picture = models.JSONField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["athlete_id", "as_of"], name="conclusion_once_a_day")]


def _share(column: str) -> models.CheckConstraint:
    inside = models.Q(**{f"{column}__range": (0, 1)})
    return models.CheckConstraint(condition=inside, name=f"entry_conclusion_{column}_range")


class EntryConclusion(models.Model):
    """Level, readiness, reasons and deadlines of one entry on one local day of the athlete."""

    athlete_id = models.BigIntegerField()
    event_id = models.BigIntegerField()
    as_of = models.DateField()
    level = models.CharField(max_length=16)
    p = models.FloatField()
    low = models.FloatField()
    high = models.FloatField()
    bar_frac = models.FloatField()
    first_day = models.DateField()
    last_day = models.DateField()
    body = models.JSONField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["athlete_id", "event_id", "as_of"], name="entry_conclusion_once_a_day"),
            *(_share(column) for column in ("p", "low", "high", "bar_frac")),
        ]
        indexes = [models.Index(fields=["athlete_id", "as_of"], name="entry_conclusion_by_day")]


class SquadBar(models.Model):
    """The squad's own bar on one day: median readiness with nothing open over the 60 days before it."""

    squad_id = models.BigIntegerField()
    as_of = models.DateField()
    bar_frac = models.FloatField()
    athlete_days = models.IntegerField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["squad_id", "as_of"], name="squad_bar_once_a_day"),
            models.CheckConstraint(condition=models.Q(bar_frac__range=(0, 1)), name="squad_bar_range"),
        ]


class Period(models.Model):
    """A period for which a job was begun. Whoever inserts the row does the work; a second scheduler finds it there."""

    job = models.CharField(max_length=32)
    period_start = models.DateTimeField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["job", "period_start"], name="period_once")]


class Pulse(models.Model):
    """When a job was last seen to come to its end."""

    job = models.CharField(max_length=32, primary_key=True)
    ended_at = models.DateTimeField()

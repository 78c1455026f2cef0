"""Conclusions, and what is not yet concluded. All here but the staleness rows can be computed again from the facts.

Athletes, squads and events are named by the integer keys of their records; there is no foreign key, because conclusions
must not reach into the records and outlive no fact. Kept forecasts are the exception: what was said cannot be computed
again, so it is kept as long as the athlete is, and goes with the athlete.
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


class KeptForecast(models.Model):
    """What was said on one local day of one day ahead, or of one event; kept to be scored when that day has come.

    A later conclusion of the same local day takes the place of an earlier one; after that day the row stands.
    `event_id` is 0 for a day ahead as such. A competition is forecast for its worst day, so it is over with
    `until_day`; a trip for its first. `told` holds two rows of rating quantiles, reserve and dampness, at the chances
    of `science.reported`.
    """

    athlete = models.ForeignKey("records.Athlete", on_delete=models.CASCADE, related_name="+", db_index=False)
    made_on = models.DateField()
    target_day = models.DateField()
    event_id = models.BigIntegerField(default=0)
    until_day = models.DateField()
    model = models.CharField(max_length=32)
    p = models.FloatField()
    low = models.FloatField()
    high = models.FloatField()
    p_skin = models.FloatField()
    told = models.JSONField()
    made_at = models.DateTimeField()
    afterwards = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["athlete", "made_on", "event_id", "target_day"], name="kept_forecast_once_a_day"
            ),
            models.CheckConstraint(
                condition=models.Q(target_day__gte=models.F("made_on"), until_day__gte=models.F("target_day")),
                name="kept_forecast_in_order",
            ),
            *(
                models.CheckConstraint(
                    condition=models.Q(**{f"{column}__range": (0, 1)}), name=f"kept_forecast_{column}_range"
                )
                for column in ("p", "low", "high", "p_skin")
            ),
        ]


class SquadFit(models.Model):
    """What a squad's own past said of the quantities that its members share, by model version; the newest counts.

    `values` and `spreads` hold only what differs from the version; both are empty where too little was answered.
    """

    squad_id = models.BigIntegerField()
    model = models.CharField(max_length=32)
    fitted_on = models.DateField()
    values = models.JSONField()
    spreads = models.JSONField()
    athletes = models.IntegerField()
    answers = models.IntegerField()
    score_before = models.FloatField(null=True)
    score_after = models.FloatField(null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["squad_id", "model", "fitted_on"], name="squad_fit_once_a_period")
        ]


class PackedHistory(models.Model):
    """The rows of one athlete's facts as they stood at a revision, packed; derived, and thrown away without loss.

    It holds facts, so it goes with the athlete.
    """

    athlete = models.OneToOneField("records.Athlete", on_delete=models.CASCADE, primary_key=True, related_name="+")
    input_rev = models.BigIntegerField()
    packed = models.BinaryField()


class Footing(models.Model):
    """What the filters of a model held of one athlete on a morning; derived, and thrown away without loss.

    `digest` is of everything they had read before that morning: where it is another now, the row says nothing.
    """

    athlete = models.ForeignKey("records.Athlete", on_delete=models.CASCADE, related_name="+", db_index=False)
    model = models.CharField(max_length=32)
    morning = models.DateField()
    digest = models.CharField(max_length=64)
    state = models.BinaryField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["athlete", "model", "morning"], name="footing_once_a_morning")]


class AssumptionFlip(models.Model):
    """How many of a squad's answers of one day would be others, had an assumption the lowest or highest value of its
    range; null where the model cannot be run there. A row with an empty name is a question: somebody asked.
    """

    squad_id = models.BigIntegerField()
    as_of = models.DateField()
    model = models.CharField(max_length=32)
    name = models.CharField(max_length=64, blank=True, default="")
    low_flips = models.IntegerField(null=True)
    high_flips = models.IntegerField(null=True)
    answers = models.IntegerField(default=0)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["squad_id", "as_of", "model", "name"], name="assumption_flip_once_a_day")
        ]

"""An athlete's own trials: what was asked and drawn, what was told day by day, how it ended. Rows are only added."""

from __future__ import annotations

from django.db import models

from athletes.records.models.append_only import AppendOnly
from athletes.records.models.constraints import between, code_required, in_order
from athletes.records.models.people import Athlete

OUTCOMES = ("dampness", "sting", "limited", "loss")
ENDS = ("over", "stopped", "reaction")
"""`by` is the number of an account, kept without a reference: rows outlive logins and are never changed."""


class Trial(AppendOnly):
    """One question as it stood before the first day. The order of its arms follows from `seed` alone, which leaves in
    no export: whoever does not know it cannot know the order while the trial runs. `starts`: first days of the blocks,
    counted from `first_day`.
    """

    athlete = models.ForeignKey(Athlete, on_delete=models.DO_NOTHING, related_name="trials")
    verb = models.CharField(max_length=8)
    form = models.CharField(max_length=32)
    strength = models.CharField(max_length=8, blank=True, default="")
    outcome = models.CharField(max_length=16)
    lower_is_better = models.BooleanField()
    hands = models.BooleanField()
    hidden = models.BooleanField()
    pairs = models.SmallIntegerField()
    skip_days = models.SmallIntegerField()
    read_days = models.SmallIntegerField()
    first_day = models.DateField()
    last_day = models.DateField()
    starts = models.JSONField(default=list)
    seed = models.BigIntegerField()
    pair_sd = models.FloatField()
    shows = models.FloatField(null=True)
    model = models.CharField(max_length=16)
    made_at = models.DateTimeField()
    by = models.BigIntegerField(null=True)

    class Meta:
        constraints = [
            code_required("trial", "outcome", OUTCOMES),
            between("trial", "pairs", 1, 12),
            between("trial", "skip_days", 1, 60),
            between("trial", "read_days", 1, 30),
            in_order("trial", "first_day", "last_day"),
        ]
        indexes = [models.Index(fields=["athlete", "first_day"], name="trial_by_day")]


class TrialDay(AppendOnly):
    """What was told of one day: whether the change was used, and the outcome of either hand in the morning. Of two
    rows of a day the later counts, field by field.
    """

    athlete = models.ForeignKey(Athlete, on_delete=models.DO_NOTHING, related_name="+")
    trial = models.ForeignKey(Trial, on_delete=models.DO_NOTHING, related_name="days")
    local_date = models.DateField()
    taken = models.BooleanField(null=True)
    left = models.SmallIntegerField(null=True)
    right = models.SmallIntegerField(null=True)
    made_at = models.DateTimeField()
    by = models.BigIntegerField(null=True)

    class Meta:
        constraints = [between("trialday", "left", 0, 10), between("trialday", "right", 0, 10)]
        indexes = [models.Index(fields=["trial", "local_date"], name="trialday_by_day")]


class TrialEnd(AppendOnly):
    """How it ended, the order that had been drawn, and what was read from it that day."""

    athlete = models.ForeignKey(Athlete, on_delete=models.DO_NOTHING, related_name="+")
    trial = models.OneToOneField(Trial, on_delete=models.DO_NOTHING, related_name="end")
    local_date = models.DateField()
    why = models.CharField(max_length=16)
    note = models.TextField(blank=True, default="")
    drawn = models.CharField(max_length=16)
    verdict = models.CharField(max_length=16)
    result = models.JSONField(default=dict)
    made_at = models.DateTimeField()
    by = models.BigIntegerField(null=True)

    class Meta:
        constraints = [code_required("trialend", "why", ENDS)]


class TrialPatch(AppendOnly):
    """A small spot on which something new was tried first, and whether skin answered."""

    athlete = models.ForeignKey(Athlete, on_delete=models.DO_NOTHING, related_name="+")
    form = models.CharField(max_length=32)
    local_date = models.DateField()
    reacted = models.BooleanField()
    made_at = models.DateTimeField()
    by = models.BigIntegerField(null=True)

    class Meta:
        indexes = [models.Index(fields=["athlete", "form"], name="trialpatch_by_form")]

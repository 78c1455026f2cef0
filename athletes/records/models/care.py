"""Care and damage: what was done to the skin, where it broke, what eyes saw of it."""

from __future__ import annotations

from django.db import models

from athletes.records import choices
from athletes.records.models.constraints import between, code_required, in_order, one_of
from athletes.records.models.people import Athlete


class Care(models.Model):
    """One care action by verb and form; planned, done and skipped are separate rows."""

    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="care")
    local_date = models.DateField()
    status = models.CharField(max_length=8)
    verb = models.CharField(max_length=8)
    form = models.CharField(max_length=32)
    strength = models.CharField(max_length=8, blank=True, default="")
    part = models.CharField(max_length=8, blank=True, default="")
    uses = models.SmallIntegerField(null=True)
    sites = models.JSONField(default=list)
    reaction = models.CharField(max_length=8, blank=True, default="")
    product_note = models.TextField(blank=True, default="")

    class Meta:
        constraints = [
            code_required("care", "status", choices.CARE_STATUSES),
            code_required("care", "verb", choices.VERBS),
            one_of("care", "strength", choices.STRENGTHS),
            one_of("care", "part", choices.PARTS),
            one_of("care", "reaction", choices.REACTIONS),
            between("care", "uses", 0, 20),
        ]
        indexes = [models.Index(fields=["athlete", "local_date"], name="care_by_day")]


class Signoff(models.Model):
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="signoffs")
    form = models.CharField(max_length=32)
    by = models.CharField(max_length=16)
    given_on = models.DateField()
    until = models.DateField(null=True)

    class Meta:
        constraints = [
            code_required("signoff", "by", choices.SIGNOFF_BY),
            in_order("signoff", "given_on", "until"),
        ]


class Damage(models.Model):
    """One episode of damage at one site."""

    code = models.CharField(max_length=64, unique=True)
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="damage")
    site = models.CharField(max_length=32)
    kind = models.CharField(max_length=8)
    noticed_on = models.DateField()
    depth = models.CharField(max_length=8, blank=True, default="")
    length_mm = models.FloatField(null=True)
    width_mm = models.FloatField(null=True)
    cause = models.TextField(blank=True, default="")
    worries = models.JSONField(default=list)

    class Meta:
        constraints = [
            code_required("damage", "kind", choices.DAMAGE_KINDS),
            one_of("damage", "depth", choices.DEPTHS),
            between("damage", "length_mm", 0, 200),
            between("damage", "width_mm", 0, 200),
        ]


class Look(models.Model):
    damage = models.ForeignKey(Damage, on_delete=models.CASCADE, related_name="looks")
    local_date = models.DateField()
    stage = models.CharField(max_length=8)
    pain = models.SmallIntegerField(null=True)
    opens_on_pull = models.BooleanField(null=True)
    balm_night = models.BooleanField(null=True)
    taped = models.BooleanField(null=True)
    bled = models.BooleanField(null=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            code_required("look", "stage", choices.STAGES),
            between("look", "pain", 0, 10),
        ]
        indexes = [models.Index(fields=["damage", "local_date"], name="look_by_day")]


class Sighting(models.Model):
    """What somebody else saw on the athlete's hands; `marks` is a list of [site, mark]."""

    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="sightings")
    local_date = models.DateField()
    by = models.CharField(max_length=8)
    marks = models.JSONField(default=list)
    note = models.TextField(blank=True, default="")

    class Meta:
        constraints = [code_required("sighting", "by", choices.SIGHTING_BY)]

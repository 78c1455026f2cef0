"""What is told while hands are still chalky: a try at a time, and pictures of damage."""

from __future__ import annotations

from django.db import models

from athletes.records import choices
from athletes.records.models.care import Damage
from athletes.records.models.constraints import between, code_required, one_of
from athletes.records.models.people import Athlete


class Tap(models.Model):
    """One tap of the tally: a hard try on a surface, or the end of a session, with the site where skin was about to go.

    `key` is made where the tap is made and names it for good, so that it counts once however often and in whatever
    order it arrives. Taken back it stays, so that one that arrives after its own taking back is not counted either.
    """

    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="taps")
    key = models.CharField(max_length=64)
    local_date = models.DateField()
    ordinal = models.SmallIntegerField(default=1)
    what = models.CharField(max_length=8)
    surface = models.CharField(max_length=16, blank=True, default="")
    site = models.CharField(max_length=32, blank=True, default="")
    made_at = models.DateTimeField()
    taken_back = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["athlete", "key"], name="tap_once"),
            code_required("tap", "what", choices.TAPS),
            one_of("tap", "surface", choices.SURFACES),
            between("tap", "ordinal", 1, 9),
        ]
        indexes = [models.Index(fields=["athlete", "local_date"], name="tap_by_day")]


class Photo(models.Model):
    """A picture of damage, made anew from its pixels; `name` is random and says nothing. Sides in px.

    `content` is read where one picture is shown and nowhere else; it stands beside the facts, so that it goes with
    them, in every copy and under every rule that they go under.
    """

    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="photos")
    damage = models.ForeignKey(Damage, on_delete=models.CASCADE, related_name="photos")
    name = models.CharField(max_length=32, unique=True)
    local_date = models.DateField()
    made_at = models.DateTimeField(db_index=True)
    width_px = models.PositiveSmallIntegerField()
    height_px = models.PositiveSmallIntegerField()
    content = models.BinaryField()

    class Meta:
        indexes = [models.Index(fields=["damage", "local_date"], name="photo_by_day")]

"""Where and when: places and their air, events and who is entered."""

from __future__ import annotations

from django.db import models

from athletes.records import choices
from athletes.records.models.constraints import between, code_required, in_order, one_of
from athletes.records.models.people import Account, Athlete, Club


class Place(models.Model):
    """`made_by` is who named it on a page; None for places that came with a bundle."""

    code = models.CharField(max_length=64, unique=True)
    name = models.CharField(max_length=200)
    lat = models.FloatField(null=True)
    lon = models.FloatField(null=True)
    altitude_m = models.FloatField(null=True)
    kind = models.CharField(max_length=8, blank=True, default="")
    rock = models.CharField(max_length=32, blank=True, default="")
    face_deg = models.FloatField(null=True)
    skyline_deg = models.FloatField(null=True)
    coast_deg = models.FloatField(null=True)
    exposure = models.CharField(max_length=16, blank=True, default="")
    made_by = models.ForeignKey(Account, on_delete=models.SET_NULL, null=True, related_name="+")

    class Meta:
        constraints = [
            between("place", "lat", -90, 90),
            between("place", "lon", -180, 180),
            between("place", "altitude_m", -500, 9000),
            between("place", "face_deg", 0, 360),
            between("place", "skyline_deg", 0, 90),
            between("place", "coast_deg", 0, 360),
            one_of("place", "kind", choices.PLACE_KINDS),
            one_of("place", "exposure", choices.EXPOSURES),
        ]


class Air(models.Model):
    """Air of one hour at a place; `known_at` is NULL for an observation and the issue time of a forecast."""

    place = models.ForeignKey(Place, on_delete=models.CASCADE, related_name="air")
    starts_at = models.DateTimeField()
    temp_c = models.FloatField()
    rh_pct = models.FloatField()
    wind_m_s = models.FloatField(null=True)
    wind_from_deg = models.FloatField(null=True)
    pressure_hpa = models.FloatField(null=True)
    rain_mm = models.FloatField(null=True)
    cloud_pct = models.FloatField(null=True)
    known_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            between("air", "temp_c", -60, 60),
            between("air", "rh_pct", 0, 100),
            between("air", "wind_m_s", 0, 120),
            between("air", "wind_from_deg", 0, 360),
            between("air", "pressure_hpa", 300, 1100),
            between("air", "rain_mm", 0, 500),
            between("air", "cloud_pct", 0, 100),
            # Two, because NULLs differ: one observation of an hour, and one forecast of it from each issue.
            models.UniqueConstraint(
                fields=["place", "starts_at"], condition=models.Q(known_at__isnull=True), name="air_observed_once"
            ),
            models.UniqueConstraint(
                fields=["place", "starts_at", "known_at"],
                condition=models.Q(known_at__isnull=False),
                name="air_forecast_once",
            ),
        ]
        indexes = [models.Index(fields=["place", "starts_at"], name="air_by_hour")]


class TypicalAir(models.Model):
    """Air of an hour of the day in a month, from a typical year: the middle and the 10 and 90 % ends."""

    place = models.ForeignKey(Place, on_delete=models.CASCADE, related_name="typical")
    month = models.SmallIntegerField()
    hour_utc = models.SmallIntegerField()
    temp_c = models.FloatField()
    temp_low_c = models.FloatField()
    temp_high_c = models.FloatField()
    dew_c = models.FloatField()
    dew_low_c = models.FloatField()
    dew_high_c = models.FloatField()
    wind_m_s = models.FloatField(null=True)
    source = models.CharField(max_length=200)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["place", "month", "hour_utc"], name="typical_air_once"),
            between("typicalair", "month", 1, 12),
            between("typicalair", "hour_utc", 0, 23),
            between("typicalair", "temp_c", -60, 60),
            between("typicalair", "dew_c", -80, 60),
        ]


class ForecastAsk(models.Model):
    """When a place's forecast was last asked for, how it failed, and before when nobody need ask again."""

    place = models.OneToOneField(Place, on_delete=models.CASCADE, related_name="asked")
    asked_at = models.DateTimeField()
    not_before = models.DateTimeField(null=True)
    failure = models.CharField(max_length=16, blank=True, default="")


class Event(models.Model):
    """A competition or a trip. `bar` is in parts of 100; NULL means the squad's own."""

    code = models.CharField(max_length=64, unique=True)
    name = models.CharField(max_length=200)
    kind = models.CharField(max_length=16)
    first_day = models.DateField()
    last_day = models.DateField()
    timezone = models.CharField(max_length=64)
    place = models.ForeignKey(Place, on_delete=models.SET_NULL, null=True)
    surface = models.CharField(max_length=16, blank=True, default="")
    styles = models.JSONField(default=list)
    bar = models.FloatField(null=True)
    entry_deadline = models.DateTimeField(null=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            code_required("event", "kind", choices.EVENT_KINDS),
            in_order("event", "first_day", "last_day"),
            between("event", "bar", 0, 100),
            one_of("event", "surface", choices.SURFACES),
        ]


class Entry(models.Model):
    event = models.ForeignKey(Event, on_delete=models.CASCADE, related_name="entries")
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="entries")
    priority = models.SmallIntegerField(null=True)
    needs_sites = models.JSONField(default=list)
    status = models.CharField(max_length=16, blank=True, default="")
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["event", "athlete"], name="entry_once"),
            between("entry", "priority", 1, 3),
            one_of("entry", "status", choices.ENTRY_STATUSES),
        ]


class EventNote(models.Model):
    """What a club's coaches wrote about an event; the newest of a kind counts, an empty one takes it back. Appended."""

    event = models.ForeignKey(Event, on_delete=models.CASCADE, related_name="notes")
    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="+")
    kind = models.CharField(max_length=8)
    text = models.TextField(blank=True, default="")
    made_at = models.DateTimeField()
    by = models.ForeignKey(Account, on_delete=models.SET_NULL, null=True, related_name="+")
    by_name = models.CharField(max_length=200)

    class Meta:
        constraints = [code_required("eventnote", "kind", choices.EVENT_NOTES)]

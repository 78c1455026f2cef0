"""Whose a place is, one air an hour and issue, typical air, when a forecast was asked for, and a person's units."""

from __future__ import annotations

from typing import Any

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


def keep_the_last(apps: Any, schema_editor: Any) -> None:
    """Of equal hours and issues the row stored last stays: it is what was read so far."""
    air = apps.get_model("records", "Air")
    key = ("place_id", "starts_at", "known_at")
    twice = air.objects.values(*key).annotate(n=models.Count("id"), last=models.Max("id")).filter(n__gt=1)
    for row in list(twice.order_by()):
        same = air.objects.filter(place_id=row["place_id"], starts_at=row["starts_at"])
        known = {"known_at": row["known_at"]} if row["known_at"] else {"known_at__isnull": True}
        same.filter(**known).exclude(id=row["last"]).delete()


def ranged(column: str, low: float, high: float) -> models.Q:
    return models.Q((f"{column}__range", (low, high)), (f"{column}__isnull", True), _connector="OR")


class Migration(migrations.Migration):
    dependencies = [("records", "0002_doors_and_decisions")]

    operations = [
        migrations.AddField(
            model_name="person", name="temperature_unit", field=models.CharField(default="C", max_length=1)
        ),
        migrations.AddField(
            model_name="person", name="wind_unit", field=models.CharField(default="m/s", max_length=4)
        ),
        migrations.AddConstraint(
            model_name="person",
            constraint=models.CheckConstraint(
                condition=models.Q(("temperature_unit__in", ["C", "F"])), name="person_temperature_unit_code"
            ),
        ),
        migrations.AddConstraint(
            model_name="person",
            constraint=models.CheckConstraint(
                condition=models.Q(("wind_unit__in", ["m/s", "km/h", "mph", "kn"])), name="person_wind_unit_code"
            ),
        ),
        migrations.AddField(
            model_name="place",
            name="made_by",
            field=models.ForeignKey(
                null=True, on_delete=django.db.models.deletion.SET_NULL, related_name="+", to=settings.AUTH_USER_MODEL
            ),
        ),
        migrations.RunPython(keep_the_last, migrations.RunPython.noop),
        migrations.AddConstraint(
            model_name="air",
            constraint=models.UniqueConstraint(
                condition=models.Q(("known_at__isnull", True)),
                fields=("place", "starts_at"),
                name="air_observed_once",
            ),
        ),
        migrations.AddConstraint(
            model_name="air",
            constraint=models.UniqueConstraint(
                condition=models.Q(("known_at__isnull", False)),
                fields=("place", "starts_at", "known_at"),
                name="air_forecast_once",
            ),
        ),
        migrations.CreateModel(
            name="TypicalAir",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("month", models.SmallIntegerField()),
                ("hour_utc", models.SmallIntegerField()),
                ("temp_c", models.FloatField()),
                ("temp_low_c", models.FloatField()),
                ("temp_high_c", models.FloatField()),
                ("dew_c", models.FloatField()),
                ("dew_low_c", models.FloatField()),
                ("dew_high_c", models.FloatField()),
                ("wind_m_s", models.FloatField(null=True)),
                ("source", models.CharField(max_length=200)),
                (
                    "place",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="typical", to="records.place"
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(fields=("place", "month", "hour_utc"), name="typical_air_once"),
                    models.CheckConstraint(condition=ranged("month", 1, 12), name="typicalair_month_range"),
                    models.CheckConstraint(condition=ranged("hour_utc", 0, 23), name="typicalair_hour_utc_range"),
                    models.CheckConstraint(condition=ranged("temp_c", -60, 60), name="typicalair_temp_c_range"),
                    models.CheckConstraint(condition=ranged("dew_c", -80, 60), name="typicalair_dew_c_range"),
                ]
            },
        ),
        migrations.CreateModel(
            name="ForecastAsk",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("asked_at", models.DateTimeField()),
                ("not_before", models.DateTimeField(null=True)),
                ("failure", models.CharField(blank=True, default="", max_length=16)),
                (
                    "place",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE, related_name="asked", to="records.place"
                    ),
                ),
            ],
        ),
    ]

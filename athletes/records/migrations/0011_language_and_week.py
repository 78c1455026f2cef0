"""In which language a person reads pages, and on which day their week begins; "" is what their browser asks for."""

from __future__ import annotations

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ("records", "0010_no_day_of_withdrawal"),
    ]

    operations = [
        migrations.AddField(
            model_name="person", name="language", field=models.CharField(blank=True, default="", max_length=8)
        ),
        migrations.AddField(
            model_name="person", name="first_weekday", field=models.CharField(blank=True, default="", max_length=8)
        ),
        migrations.AddConstraint(
            model_name="person",
            constraint=models.CheckConstraint(
                condition=models.Q(("language__in", ["", "en", "de", "fr"])), name="person_language_code"
            ),
        ),
        migrations.AddConstraint(
            model_name="person",
            constraint=models.CheckConstraint(
                condition=models.Q(("first_weekday__in", ["", "monday", "saturday", "sunday"])),
                name="person_first_weekday_code",
            ),
        ),
    ]

"""Squads of invented people, which go as a whole."""

from __future__ import annotations

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('records', '0016_own_trials'),
    ]

    operations = [
        migrations.AddField(
            model_name='squad',
            name='sample',
            field=models.BooleanField(default=False),
        ),
    ]

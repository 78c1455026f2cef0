"""The day of withdrawal, now a row of its own, leaves the word it took back."""

from __future__ import annotations

from django.db import migrations


class Migration(migrations.Migration):

    dependencies = [
        ('records', '0009_words_and_reads'),
    ]

    operations = [
        migrations.RemoveField(
            model_name='consent',
            name='withdrawn_on',
        ),
    ]

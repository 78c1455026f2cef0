"""What a club changed of its rulebook, and pauses that somebody overruled."""

from __future__ import annotations

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('records', '0004_decision_about'),
    ]

    operations = [
        migrations.CreateModel(
            name='OverruledPause',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('form', models.CharField(max_length=32)),
                ('refusal_class', models.CharField(max_length=16)),
                ('local_date', models.DateField()),
                ('note', models.TextField()),
                ('given_on', models.DateField()),
                ('made_at', models.DateTimeField()),
                ('by_name', models.CharField(max_length=200)),
                ('athlete', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='overruled', to='records.athlete')),
                ('by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'indexes': [models.Index(fields=['athlete', 'local_date'], name='overruled_by_day')],
                'constraints': [models.CheckConstraint(condition=models.Q(('refusal_class__in', ['timing', 'skin-kind', 'site', 'clash'])), name='overruledpause_refusal_class_code'), models.CheckConstraint(condition=models.Q(('note', ''), _negated=True), name='overruledpause_has_a_note')],
            },
        ),
        migrations.CreateModel(
            name='RuleChange',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('rule', models.CharField(max_length=64)),
                ('key', models.CharField(max_length=32)),
                ('value', models.JSONField()),
                ('from_day', models.DateField()),
                ('reason', models.TextField()),
                ('made_at', models.DateTimeField()),
                ('by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('club', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='rule_changes', to='records.club')),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('reason', ''), _negated=True), name='rulechange_has_a_reason')],
            },
        ),
    ]

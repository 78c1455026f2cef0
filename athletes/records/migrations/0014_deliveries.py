"""Entries of phones' queues as they arrived, and whom to call where there is no signal."""

from __future__ import annotations

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('records', '0013_tries_and_photos'),
    ]

    operations = [
        migrations.CreateModel(
            name='Delivery',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(max_length=16)),
                ('about', models.CharField(max_length=40)),
                ('device', models.CharField(blank=True, default='', max_length=32)),
                ('seq', models.BigIntegerField()),
                ('said_at', models.DateTimeField(null=True)),
                ('skew_s', models.FloatField(null=True)),
                ('timezone', models.CharField(blank=True, default='', max_length=64)),
                ('arrived_at', models.DateTimeField(db_index=True)),
                ('body', models.JSONField(default=dict)),
                ('athlete', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='deliveries', to='records.athlete')),
                ('by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'indexes': [models.Index(fields=['athlete', 'kind', 'about'], name='delivery_by_about')],
                'constraints': [models.UniqueConstraint(condition=models.Q(('device', ''), _negated=True), fields=('athlete', 'device', 'seq'), name='delivered_once')],
            },
        ),
        migrations.CreateModel(
            name='WhomToCall',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('ordinal', models.SmallIntegerField()),
                ('name', models.CharField(max_length=80)),
                ('number', models.CharField(max_length=40)),
                ('athlete', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='to_call', to='records.athlete')),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('athlete', 'ordinal'), name='to_call_once')],
            },
        ),
    ]

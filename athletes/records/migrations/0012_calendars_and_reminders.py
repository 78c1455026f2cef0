"""Calendar feeds, reminders and where they go, and codes that sign in once."""

from __future__ import annotations

import uuid

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('records', '0011_language_and_week'),
    ]

    operations = [
        migrations.CreateModel(
            name='CalendarFeed',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(max_length=8)),
                ('digest', models.CharField(max_length=64, unique=True)),
                ('names', models.UUIDField(default=uuid.uuid4)),
                ('made_at', models.DateTimeField()),
                ('used_on', models.DateField(null=True)),
            ],
        ),
        migrations.CreateModel(
            name='CalendarItem',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('key', models.CharField(max_length=40)),
                ('kind', models.CharField(max_length=8)),
                ('first_day', models.DateField()),
                ('last_day', models.DateField()),
                ('at', models.DateTimeField(null=True)),
                ('zone', models.CharField(blank=True, default='', max_length=64)),
                ('sequence', models.PositiveIntegerField(default=0)),
                ('changed_at', models.DateTimeField()),
                ('cancelled', models.BooleanField(default=False)),
            ],
        ),
        migrations.CreateModel(
            name='PushAddress',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('endpoint', models.TextField()),
                ('digest', models.CharField(max_length=64, unique=True)),
                ('p256dh', models.CharField(max_length=100)),
                ('auth', models.CharField(max_length=40)),
                ('browser', models.CharField(blank=True, default='', max_length=60)),
                ('made_at', models.DateTimeField()),
            ],
        ),
        migrations.CreateModel(
            name='Reminder',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kinds', models.CharField(max_length=60)),
                ('made_at', models.DateTimeField()),
                ('next_try_at', models.DateTimeField()),
                ('lapses_at', models.DateTimeField()),
                ('attempts', models.SmallIntegerField(default=0)),
                ('state', models.CharField(default='waiting', max_length=8)),
            ],
        ),
        migrations.CreateModel(
            name='ReminderWay',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('timezone', models.CharField(blank=True, default='', max_length=64)),
                ('quiet_from', models.SmallIntegerField(default=1260)),
                ('quiet_to', models.SmallIntegerField(default=420)),
                ('mail_to', models.CharField(blank=True, default='', max_length=190)),
                ('mail_confirmed', models.BooleanField(default=False)),
            ],
        ),
        migrations.CreateModel(
            name='ReminderWish',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(max_length=8)),
                ('minute', models.SmallIntegerField()),
                ('due_on', models.DateField()),
                ('due_at', models.DateTimeField(db_index=True)),
            ],
        ),
        migrations.RemoveConstraint(
            model_name='onetimelink',
            name='link_kind_code',
        ),
        migrations.AddConstraint(
            model_name='onetimelink',
            constraint=models.CheckConstraint(condition=models.Q(('kind__in', ['join', 'reset', 'code'])), name='link_kind_code'),
        ),
        migrations.AddField(
            model_name='calendarfeed',
            name='account',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='calendar_feeds', to=settings.AUTH_USER_MODEL),
        ),
        migrations.AddField(
            model_name='calendaritem',
            name='feed',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='items', to='records.calendarfeed'),
        ),
        migrations.AddField(
            model_name='pushaddress',
            name='account',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='push_addresses', to=settings.AUTH_USER_MODEL),
        ),
        migrations.AddField(
            model_name='reminder',
            name='account',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='reminders', to=settings.AUTH_USER_MODEL),
        ),
        migrations.AddField(
            model_name='reminder',
            name='push',
            field=models.ForeignKey(null=True, on_delete=django.db.models.deletion.CASCADE, related_name='reminders', to='records.pushaddress'),
        ),
        migrations.AddField(
            model_name='reminderway',
            name='account',
            field=models.OneToOneField(on_delete=django.db.models.deletion.CASCADE, related_name='reminder_way', to=settings.AUTH_USER_MODEL),
        ),
        migrations.AddField(
            model_name='reminderwish',
            name='account',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='reminder_wishes', to=settings.AUTH_USER_MODEL),
        ),
        migrations.AddConstraint(
            model_name='calendarfeed',
            constraint=models.CheckConstraint(condition=models.Q(('kind__in', ['own', 'season'])), name='feed_kind_code'),
        ),
        migrations.AddConstraint(
            model_name='calendaritem',
            constraint=models.UniqueConstraint(fields=('feed', 'key'), name='calendar_item_once'),
        ),
        migrations.AddConstraint(
            model_name='calendaritem',
            constraint=models.CheckConstraint(condition=models.Q(('first_day__lte', models.F('last_day')), ('last_day__isnull', True), _connector='OR'), name='calendar_item_first_day_before_last_day'),
        ),
        migrations.AddConstraint(
            model_name='calendaritem',
            constraint=models.CheckConstraint(condition=models.Q(('kind__in', ['event', 'session', 'closes'])), name='calendar_item_kind_code'),
        ),
        migrations.AddIndex(
            model_name='reminder',
            index=models.Index(fields=['state', 'next_try_at'], name='reminder_by_time'),
        ),
        migrations.AddConstraint(
            model_name='reminder',
            constraint=models.CheckConstraint(condition=models.Q(('state__in', ['waiting', 'sending', 'sent', 'gone', 'lapsed'])), name='reminder_state_code'),
        ),
        migrations.AddConstraint(
            model_name='reminderway',
            constraint=models.CheckConstraint(condition=models.Q(('quiet_from__range', (0, 1439)), ('quiet_from__isnull', True), _connector='OR'), name='reminder_way_quiet_from_range'),
        ),
        migrations.AddConstraint(
            model_name='reminderway',
            constraint=models.CheckConstraint(condition=models.Q(('quiet_to__range', (0, 1439)), ('quiet_to__isnull', True), _connector='OR'), name='reminder_way_quiet_to_range'),
        ),
        migrations.AddConstraint(
            model_name='reminderwish',
            constraint=models.UniqueConstraint(fields=('account', 'kind'), name='reminder_wish_once'),
        ),
        migrations.AddConstraint(
            model_name='reminderwish',
            constraint=models.CheckConstraint(condition=models.Q(('minute__range', (0, 1439)), ('minute__isnull', True), _connector='OR'), name='reminder_wish_minute_range'),
        ),
        migrations.AddConstraint(
            model_name='reminderwish',
            constraint=models.CheckConstraint(condition=models.Q(('kind__in', ['morning', 'session', 'step', 'look', 'moved'])), name='reminder_wish_kind_code'),
        ),
    ]

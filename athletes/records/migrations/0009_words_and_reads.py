"""Words of consent as rows that are only added; who read what; support's look; erasures."""

from __future__ import annotations

from typing import Any

import django.db.models.deletion
from django.db import migrations, models


def keep_what_was_taken_back(apps: Any, schema_editor: Any) -> None:
    """A day of withdrawal becomes a row of its own; the words that stood are marked as such."""
    consent = apps.get_model("records", "Consent")
    consent.objects.update(method="before")
    ended = consent.objects.filter(withdrawn_on__isnull=False)
    consent.objects.bulk_create(
        [
            consent(
                athlete_id=row.athlete_id,
                grantee_role=row.grantee_role,
                data_class=row.data_class,
                purpose=row.purpose,
                given_on=row.withdrawn_on,
                method="before",
                ends_id=row.id,
            )
            for row in ended.order_by("id")
        ],
        batch_size=500,
    )


class Migration(migrations.Migration):

    dependencies = [
        ('records', '0008_signing_in'),
    ]

    operations = [
        migrations.CreateModel(
            name='AccessLog',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('at', models.DateTimeField(db_index=True)),
                ('account', models.BigIntegerField(null=True)),
                ('person', models.BigIntegerField(null=True)),
                ('roles', models.CharField(max_length=64)),
                ('purpose', models.CharField(max_length=64)),
                ('what', models.CharField(max_length=64)),
                ('method', models.CharField(max_length=8)),
                ('program', models.BooleanField(default=False)),
                ('scope', models.CharField(max_length=32)),
            ],
        ),
        migrations.CreateModel(
            name='AccessScope',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('scope', models.CharField(max_length=32)),
                ('classes', models.CharField(max_length=64)),
            ],
        ),
        migrations.CreateModel(
            name='BrokenGlass',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('person', models.BigIntegerField()),
                ('person_name', models.CharField(max_length=200)),
                ('reason', models.TextField()),
                ('opened_at', models.DateTimeField()),
                ('ends_at', models.DateTimeField()),
                ('closed_at', models.DateTimeField(null=True)),
                ('told_at', models.DateTimeField(null=True)),
            ],
        ),
        migrations.CreateModel(
            name='Erased',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('subject', models.BigIntegerField()),
                ('digest', models.CharField(max_length=64)),
                ('erased_at', models.DateTimeField()),
                ('rows', models.IntegerField()),
            ],
        ),
        migrations.CreateModel(
            name='ErasureAsked',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('asked_at', models.DateTimeField()),
                ('due_at', models.DateTimeField(db_index=True)),
                ('by', models.BigIntegerField(null=True)),
            ],
        ),
        migrations.AddField(
            model_name='club',
            name='country',
            field=models.CharField(blank=True, default='', max_length=2),
        ),
        migrations.AddField(
            model_name='consent',
            name='ends',
            field=models.OneToOneField(null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='ended_by', to='records.consent'),
        ),
        migrations.AddField(
            model_name='consent',
            name='grantee_person',
            field=models.BigIntegerField(null=True),
        ),
        migrations.AddField(
            model_name='consent',
            name='grantor',
            field=models.BigIntegerField(null=True),
        ),
        migrations.AddField(
            model_name='consent',
            name='grantor_role',
            field=models.CharField(default='both', max_length=8),
        ),
        migrations.AddField(
            model_name='consent',
            name='locale',
            field=models.CharField(blank=True, default='', max_length=16),
        ),
        migrations.AddField(
            model_name='consent',
            name='made_at',
            field=models.DateTimeField(null=True),
        ),
        migrations.AddField(
            model_name='consent',
            name='method',
            field=models.CharField(default='bundle', max_length=16),
        ),
        migrations.AddField(
            model_name='consent',
            name='text_hash',
            field=models.CharField(blank=True, default='', max_length=64),
        ),
        migrations.AddField(
            model_name='consent',
            name='text_version',
            field=models.CharField(blank=True, default='', max_length=16),
        ),
        migrations.AlterField(
            model_name='consent',
            name='athlete',
            field=models.ForeignKey(on_delete=django.db.models.deletion.DO_NOTHING, related_name='consents', to='records.athlete'),
        ),
        migrations.AddConstraint(
            model_name='consent',
            constraint=models.CheckConstraint(condition=models.Q(('grantor_role__in', ['self', 'guardian', 'both'])), name='consent_grantor_role_code'),
        ),
        migrations.AddConstraint(
            model_name='consent',
            constraint=models.CheckConstraint(condition=models.Q(('method__in', ['page', 'paper', 'bundle', 'before', 'of-age', 'left'])), name='consent_method_code'),
        ),
        migrations.AddIndex(
            model_name='accesslog',
            index=models.Index(fields=['scope', 'at'], name='accesslog_by_scope'),
        ),
        migrations.AddField(
            model_name='accessscope',
            name='athlete',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='+', to='records.athlete'),
        ),
        migrations.AddField(
            model_name='brokenglass',
            name='athlete',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='+', to='records.athlete'),
        ),
        migrations.AddField(
            model_name='erasureasked',
            name='athlete',
            field=models.OneToOneField(on_delete=django.db.models.deletion.CASCADE, related_name='erasure_asked', to='records.athlete'),
        ),
        migrations.AddConstraint(
            model_name='accessscope',
            constraint=models.UniqueConstraint(fields=('scope', 'athlete'), name='accessscope_once'),
        ),
        migrations.AddConstraint(
            model_name='brokenglass',
            constraint=models.CheckConstraint(condition=models.Q(('reason', ''), _negated=True), name='brokenglass_has_a_reason'),
        ),
        migrations.RunPython(keep_what_was_taken_back, migrations.RunPython.noop),
    ]

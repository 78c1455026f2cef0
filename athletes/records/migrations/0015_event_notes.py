"""What a club's coaches write about an event: access, nearest help, what to do otherwise."""

from __future__ import annotations

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('records', '0014_deliveries'),
    ]

    operations = [
        migrations.CreateModel(
            name='EventNote',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(max_length=8)),
                ('text', models.TextField(blank=True, default='')),
                ('made_at', models.DateTimeField()),
                ('by_name', models.CharField(max_length=200)),
                ('by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('club', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='+', to='records.club')),
                ('event', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='notes', to='records.event')),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('kind__in', ['access', 'help', 'review'])), name='eventnote_kind_code')],
            },
        ),
    ]

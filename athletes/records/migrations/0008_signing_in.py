"""Sessions with their owner, one-time links, tries, names of tokens, and what an account's password is good for."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("records", "0005_rules_and_pauses")]

    operations = [
        migrations.AddField("account", "short_password", models.BooleanField(default=False)),
        migrations.AddField("account", "vouch_needed_since", models.DateTimeField(null=True)),
        migrations.AddField(
            "account",
            "vouch_of",
            models.ForeignKey(
                null=True,
                on_delete=django.db.models.deletion.SET_NULL,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField("apitoken", "label", models.CharField(blank=True, default="", max_length=60)),
        migrations.CreateModel(
            name="SignedIn",
            fields=[
                ("session_data", models.TextField(verbose_name="session data")),
                ("expire_date", models.DateTimeField(db_index=True, verbose_name="expire date")),
                ("session_key", models.CharField(max_length=64, primary_key=True, serialize=False)),
                ("began_at", models.DateTimeField(null=True)),
                ("seen_at", models.DateTimeField(null=True)),
                ("browser", models.CharField(blank=True, default="", max_length=60)),
                (
                    "account",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="sessions",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={"verbose_name": "session"},
        ),
        migrations.CreateModel(
            name="Tried",
            fields=[
                ("what", models.CharField(max_length=64, primary_key=True, serialize=False)),
                ("until_s", models.BigIntegerField(db_index=True)),
                ("times", models.IntegerField()),
            ],
        ),
        migrations.CreateModel(
            name="OneTimeLink",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("kind", models.CharField(max_length=8)),
                ("prefix", models.CharField(max_length=12, unique=True)),
                ("digest", models.CharField(max_length=64)),
                ("made_at", models.DateTimeField()),
                ("expires_at", models.DateTimeField()),
                ("used_at", models.DateTimeField(null=True)),
                ("revoked_at", models.DateTimeField(null=True)),
                ("name", models.CharField(blank=True, default="", max_length=200)),
                ("role", models.CharField(blank=True, default="", max_length=16)),
                (
                    "account",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="links",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "athlete",
                    models.ForeignKey(
                        null=True, on_delete=django.db.models.deletion.CASCADE, related_name="+", to="records.athlete"
                    ),
                ),
                (
                    "made_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="links_made",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        null=True, on_delete=django.db.models.deletion.CASCADE, related_name="+", to="records.person"
                    ),
                ),
                (
                    "squad",
                    models.ForeignKey(
                        null=True, on_delete=django.db.models.deletion.CASCADE, related_name="+", to="records.squad"
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("kind__in", ["join", "reset"])), name="link_kind_code"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("kind", "join"), ("account__isnull", False), _connector="OR"),
                        name="link_of_reset_names_an_account",
                    ),
                ],
            },
        ),
    ]

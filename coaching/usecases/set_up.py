"""Bring a database to the present schema, and the demo's facts into an empty one."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.utils.translation import gettext_lazy as _

from athletes.records import access, queries
from athletes.records.bundle import reading
from coaching.ledger import staleness, store
from coaching.usecases import accounts, clock, conclude
from coaching.usecases.import_bundle import import_bundle

DEMO_BUNDLE = settings.ROOT / "fixtures" / "demo" / "bundle"
DEMO_CLUB = _("Tenpads demo")
ANCHOR = re.compile(r"\banchor (\d{4}-\d{2}-\d{2})\b")


def migrate() -> None:
    """Apply what is missing; a database that is up to date is only looked at."""
    if not migrated():
        call_command("migrate", verbosity=0, interactive=False)


def migrated() -> bool:
    """The database has the present schema."""
    executor = MigrationExecutor(connection)
    return not executor.migration_plan(executor.loader.graph.leaf_nodes())


def empty() -> bool:
    """No squad is in the records yet."""
    return not queries.squads_of(access.OPERATOR(clock.now().date()))


def load_demo(now: datetime) -> int:
    """Import the demo bundle with its dates moved to the present; returns the athletes in it."""
    anchor = anchor_of(DEMO_BUNDLE)
    report = import_bundle(DEMO_BUNDLE, club_name=str(DEMO_CLUB), shift_days=shift_days(anchor, now.date()), now=now)
    accounts.make_demo_logins()
    return report.stored["athletes"]


def anchor_of(bundle: Path) -> date:
    """The day that the scenario calls today, from the manifest's note."""
    note = str(reading.manifest(bundle).get("note", ""))
    found = ANCHOR.search(note)
    if not found:
        raise ValueError(f"The note in {bundle}/manifest.json names no anchor day.")
    return date.fromisoformat(found.group(1))


def shift_days(anchor: date, today: date) -> int:
    """Days that make the anchor today. Whole weeks would keep the days of the week, but of a squad that was last heard
    of up to six days ago nothing is known.
    """
    return (today - anchor).days


def conclude_eve(now: datetime) -> None:
    """Conclude for the day before, so that the first morning already knows what changed since yesterday."""
    everybody = access.refs_visible(access.OPERATOR(now.date()))
    by_day: dict[date, list[int]] = {}
    for ref in everybody:
        by_day.setdefault(clock.local_day(now, ref.timezone) - timedelta(days=1), []).append(ref.id)
    for day, ids in by_day.items():
        store.save_past(list(conclude.conclude(ids, day).values()), now)


def take_over() -> None:
    """For a process that alone computes: what an earlier one had in hand when it died is free again."""
    staleness.release_claims()

"""What coaches and medical people store: sign-offs, answers to decisions, and changes under the version that they saw.

As in `writes`: only use-cases call this, inside their transaction.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import F, Model

from athletes.records.bundle.columns import TABLES, row_problem
from athletes.records.models import Correction, Decision, Entry, Event, Look, Signoff
from athletes.records.writes import admitted, picture


class Stale(Exception):
    """The row is not any more what the caller saw."""


@dataclass(frozen=True)
class Change:
    """Which values, over which of its versions, by whom, when and why; `athlete_id` None for a row of nobody's own."""

    values: Mapping[str, Any]
    over: frozenset[int]
    athlete_id: int | None
    made_at: datetime
    by: int | None
    why: str = ""


def store_signoff(*, athlete_id: int, values: Mapping[str, Any]) -> int:
    """Append a sign-off and return its key; `values` are the columns of signoffs.csv but for the athlete. Raises
    BadInput.
    """
    found = admitted("signoffs.csv", values)
    table = TABLES["signoffs.csv"]
    if error := row_problem(table, tuple(found.get(name) for name in table.names)):
        raise error
    return int(Signoff.objects.create(athlete_id=athlete_id, **found).pk)


def store_decision(**values: Any) -> int:
    """Append a coach's answer and return its key."""
    return int(Decision.objects.create(**values).pk)


def change_look(look_id: int, change: Change) -> None:
    """Correct a look, with a trace. Raises BadInput and Stale."""
    table = TABLES["damage_looks.csv"]
    _change(Look, look_id, change, {name: table.admit(name, value) for name, value in change.values.items()})


def change_bar(event_id: int, change: Change) -> None:
    """Set the bar of an event (in parts of 100, None: the squad's own), with a trace. Raises BadInput and Stale."""
    _change(Event, event_id, change, {"bar": TABLES["events.csv"].admit("bar", change.values["bar"])})


def change_days(event_id: int, change: Change) -> None:
    """Move an event to other days, with a trace. Raises BadInput and Stale."""
    days = {name: TABLES["events.csv"].admit(name, change.values[name]) for name in ("first_day", "last_day")}
    _change(Event, event_id, change, days)


def change_status(entry_id: int, change: Change) -> None:
    """Set the status of an entry, with a trace. Raises BadInput and Stale."""
    _change(Entry, entry_id, change, {"status": TABLES["entries.csv"].admit("status", change.values["status"]) or ""})


def change_priority(entry_id: int, change: Change) -> None:
    """Set the priority of an entry, 1 to 3 or None, with a trace. Raises BadInput and Stale."""
    _change(Entry, entry_id, change, {"priority": TABLES["entries.csv"].admit("priority", change.values["priority"])})


def change_needs(entry_id: int, change: Change) -> None:
    """Set which sites the event needs of this athlete, with a trace. Raises BadInput and Stale."""
    found = TABLES["entries.csv"].admit("needs_sites", change.values["needs_sites"])
    _change(Entry, entry_id, change, {"needs_sites": list(found)})


def _change(kind: type[Model], key: int, change: Change, values: Mapping[str, Any]) -> None:
    """The version is asked again in the UPDATE itself, so that of two at once one is told."""
    rows = kind._default_manager.filter(pk=key)
    before = rows.get()
    seen = rows.filter(version__in=change.over)
    if not seen.update(**values, version=F("version") + 1):
        raise Stale
    Correction.objects.create(
        athlete_id=change.athlete_id,
        table=kind._meta.model_name,
        row_id=key,
        made_at=change.made_at,
        by_id=change.by,
        before=picture(before),
        after=picture(rows.get()),
        why=change.why,
    )

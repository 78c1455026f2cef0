"""Rows of the tables of facts as plain values, and packed to one text an athlete: what is derived can be thrown away.

Days, instants and lists stay the text that the database wrote: most are one of few, and each is read but once. Nothing
is cut to a day here but what is too old, so that one packed history serves the evenings that follow.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.db.models import DateField, DateTimeField, JSONField, Model, TextField
from django.db.models.functions import Cast

from athletes.records.models import Away, Care, CheckIn, Damage, Look, Session, Sighting, Signoff

HISTORY_DAYS = 400
"""How far back check-ins, sessions and sightings are read; care, damage and sign-offs are read whole."""
FORMAT = 1
"""Raised whenever a table or a column is added: what was packed before is then read from the rows again."""
Row = tuple[Any, ...]
Tables = Mapping[str, Sequence[Sequence[Any]]]
"""Rows of one athlete by name of the table."""


@dataclass(frozen=True)
class Source:
    """A table, how its rows name their athlete, their columns, and the column of the day if old rows are left out."""

    model: type[Model]
    key: str
    columns: tuple[str, ...]
    day: str = ""


SOURCES: Mapping[str, Source] = {
    "checkins": Source(
        CheckIn,
        "athlete_id",
        (
            *("local_date", "reserve", "dampness", "hardness", "sting", "pull_pain", "agent_used"),
            *("marks", "red_flags", "seconds", "note", "rating_step", "made_at"),
        ),
        "local_date",
    ),
    "sessions": Source(
        Session,
        "athlete_id",
        (
            *("local_date", "planned", "minutes", "rpe", "surface", "hard_tries", "skin_limited", "ordinal"),
            "place_id",
        ),
        "local_date",
    ),
    "care": Source(
        Care,
        "athlete_id",
        ("local_date", "status", "verb", "form", "strength", "part", "uses", "sites", "reaction"),
    ),
    "sightings": Source(Sighting, "athlete_id", ("local_date", "by", "marks", "note"), "local_date"),
    "signoffs": Source(Signoff, "athlete_id", ("form", "by", "given_on", "until")),
    "damage": Source(
        Damage,
        "athlete_id",
        ("id", "code", "site", "kind", "noticed_on", "depth", "length_mm", "width_mm", "worries"),
    ),
    "looks": Source(
        Look,
        "damage__athlete_id",
        ("damage_id", "local_date", "stage", "pain", "opens_on_pull", "balm_night", "taped", "bled"),
    ),
    "away": Source(Away, "athlete_id", ("first_day", "last_day", "kind")),
}


def since(as_of: date) -> date:
    return as_of - timedelta(days=HISTORY_DAYS)


def read(ids: Sequence[int], first: date) -> dict[int, Tables]:
    """Rows of each athlete from that day on, by table: one query a table, whatever the batch."""
    found: dict[int, dict[str, list[Row]]] = {key: {name: [] for name in SOURCES} for key in ids}
    for name, source in SOURCES.items():
        rows = source.model._default_manager.filter(**{f"{source.key}__in": ids})
        if source.day:
            rows = rows.filter(**{f"{source.day}__gte": first})
        columns = (_plain(source.model, column) for column in source.columns)
        for key, *values in rows.order_by().values_list(source.key, *columns):
            found[key][name].append(tuple(values))
    return dict(found)


def _plain(model: type[Model], column: str) -> Any:
    field = model._meta.get_field(column.removesuffix("_id"))
    return Cast(column, TextField()) if isinstance(field, DateField | DateTimeField | JSONField) else column


def pack(tables: Tables, first: date) -> bytes:
    """One athlete's rows from a day on as compressed JSON."""
    whole = {"format": FORMAT, "first": first.isoformat(), "tables": tables}
    return zlib.compress(json.dumps(whole, separators=(",", ":")).encode(), 1)


def unpack(packed: bytes, first: date) -> Tables | None:
    """The rows again; None where they do not reach back to the day, or were packed in another way or damaged."""
    try:
        whole = json.loads(zlib.decompress(packed))
        if whole["format"] != FORMAT or whole["first"] > first.isoformat():
            return None
        tables: Tables = whole["tables"]
    except (zlib.error, ValueError, KeyError, TypeError):
        return None
    return tables if tables.keys() == SOURCES.keys() else None


def known(ids: Iterable[int], packed: Mapping[int, bytes], first: date) -> dict[int, Tables]:
    """Rows of each athlete, unpacked where they can be and read where not."""
    found, missing = {}, []
    for key in ids:
        tables = unpack(packed[key], first) if key in packed else None
        if tables is None:
            missing.append(key)
        else:
            found[key] = tables
    return found | (read(missing, first) if missing else {})

"""Everything that a list shows of everybody, asked in one query whatever the number of athletes.

The records and the conclusions each give their part as rows not yet asked for; here they are laid one under the other.
Pictures and bodies arrive as text: most of them were read before, and are known again by what they say.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from typing import Any

from django.core.exceptions import EmptyResultSet
from django.db import DEFAULT_DB_ALIAS, connection
from django.db.models import BigIntegerField, FloatField, TextField, Value
from django.db.models.functions import Cast

from athletes.records import access_listing as door
from athletes.records.access import AthleteRef
from athletes.records.viewer import Viewer
from coaching.ledger import listing as ledger
from coaching.ledger.codec import frozen
from coaching.rules.conclusions import Limit, Today
from coaching.usecases.cutting import causes_open_to, cut_for
from coaching.usecases.showing import NOTHING, list_picture, since
from coaching.usecases.shown import AthleteShown, EntryShown, ListLine

TEXTS = 7
"""Columns of text in which each part is laid out."""
CONCLUDED = ("as_of", "computed_at", "medical", "known_until", "drawn", "verdict", "limited")
WORD = ("grantee_role", "data_class", "purpose", "grantor_role", "given_on")
Row = tuple[Any, ...]


@dataclass(frozen=True)
class Entry:
    """One entry of today as stored, with yesterday's level and chance."""

    level: str
    first_day: date
    body: str
    before: tuple[str, float] | None


@dataclass(frozen=True)
class Concluded:
    """One athlete's newest conclusion as stored."""

    as_of: date
    computed_at: datetime
    medical: str
    known_until: date | None
    picture: str
    verdict: str
    limits: str


@dataclass(frozen=True)
class Listed:
    """One athlete who was let through the door, with what is concluded."""

    ref: AthleteRef
    concluded: Concluded | None
    entries: tuple[Entry, ...]  # nearest first
    stale: bool


@dataclass(frozen=True)
class Listing:
    """All that the viewer may see of the squads in which they hold a role."""

    squad_names: tuple[str, ...]
    members: int
    athletes: tuple[Listed, ...]  # by name


def listing(viewer: Viewer) -> Listing:
    """Who shares a level with the viewer, and what is concluded of them. One query."""
    found: dict[str, list[Row]] = defaultdict(list)
    for kind, *row in _asked(viewer):
        found[kind].append(tuple(row))
    members = [(squad_id, athlete_id) for athlete_id, squad_id, *_ in found["member"]]
    people = [(key, code, name, zone, hand, _day(born)) for key, _, _, code, name, zone, hand, born, *_ in found["who"]]
    words = [(row[0], *row[3:8]) for row in found["word"]]
    concluded = {row[0]: _concluded(row) for row in found["concluded"]}
    entries = _entries(found["entry"], concluded)
    stale = {row[0] for row in found["stale"]}
    squads = sorted((name, code) for _, _, _, name, code, *_ in found["squad"])
    return Listing(
        squad_names=tuple(name for name, _ in squads),
        members=len({athlete_id for _, athlete_id in members}),
        athletes=tuple(
            Listed(ref, concluded.get(ref.id), tuple(entries.get(ref.id, ())), ref.id in stale)
            for ref in door.refs(viewer, people, members, words, "level")
        ),
    )


def lines(viewer: Viewer, athletes: Iterable[Listed]) -> Iterator[ListLine]:
    """Each athlete as a line of a list, cut for this viewer once somebody reads it."""
    opened = causes_open_to(viewer)
    for one in athletes:
        yield _line(one, one.ref.id in opened, viewer.today)


def _asked(viewer: Viewer) -> list[Row]:
    told = door.sharing(viewer, "level")
    parts = [
        _part("squad", door.squads(viewer), "id", texts=("name", "code")),
        _part("member", door.memberships(viewer), "athlete_id", "squad_id"),
        _part("who", door.people(viewer), "id", texts=("code", "name", "timezone", "dominant_hand", "birth_date")),
        _part("word", door.words(viewer), "athlete_id", texts=WORD),
        _part("concluded", ledger.conclusions(told), "athlete_id", texts=CONCLUDED),
        _part("entry", ledger.entries(told), "athlete_id", "event_id", "p", ("as_of", "first_day", "level", "said")),
        _part("stale", ledger.stale(told), "athlete_id"),
    ]
    # Straight from the cursor: what would convert each value of each row costs as much as the question itself.
    try:
        sql, given = parts[0].union(*parts[1:], all=True).query.get_compiler(DEFAULT_DB_ALIAS).as_sql()
    except EmptyResultSet:  # without any squad no part can have a row
        return []
    with door.before_looking(viewer, "level"), connection.cursor() as cursor:
        cursor.execute(sql, given)
        return list(cursor.fetchall())


def _part(kind: str, rows: Any, key: str, other: str = "", number: str = "", texts: tuple[str, ...] = ()) -> Any:
    """(kind, key, another key, a number, texts ...) of each row, in columns of the same kinds whatever the part."""
    named = {f"text_{n}": Cast(name, TextField()) for n, name in enumerate(texts)}
    empty = {f"text_{n}": Value("", TextField()) for n in range(len(texts), TEXTS)}
    asked = rows.order_by().annotate(
        kind=Value(kind, TextField()),
        key=Cast(key, BigIntegerField()),
        other=Cast(other, BigIntegerField()) if other else Value(0, BigIntegerField()),
        number=Cast(number, FloatField()) if number else Value(0.0, FloatField()),
        **named,
        **empty,
    )
    return asked.values_list("kind", "key", "other", "number", *(f"text_{n}" for n in range(TEXTS)))


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None


def _concluded(row: Row) -> Concluded:
    at = datetime.fromisoformat(row[4])
    known_at = at if at.tzinfo else at.replace(tzinfo=UTC)
    return Concluded(date.fromisoformat(row[3]), known_at, row[5], _day(row[6]), *row[7:10])


def _entries(rows: Iterable[Row], concluded: dict[int, Concluded]) -> dict[int, list[Entry]]:
    """Those of the newest day by athlete, nearest first, each with what stood of it the day before."""
    now, before = [], {}
    for athlete_id, event_id, p, as_of, first_day, level, body, *_ in rows:
        if date.fromisoformat(as_of) == concluded[athlete_id].as_of:
            now.append((first_day, event_id, athlete_id, level, body))
        else:
            before[athlete_id, event_id] = (level, p)
    found: dict[int, list[Entry]] = defaultdict(list)
    for first_day, event_id, athlete_id, level, body in sorted(now):
        entry = Entry(level, date.fromisoformat(first_day), body, before.get((athlete_id, event_id)))
        found[athlete_id].append(entry)
    return found


def _line(one: Listed, causes_open: bool, today: date) -> ListLine:
    ref, concluded = one.ref, one.concluded
    before = tuple(entry.before for entry in one.entries)
    own = (concluded.picture, concluded.verdict, concluded.limits) if concluded else ()
    texts = (*own, *(entry.body for entry in one.entries))
    key = (
        ref.code, ref.name, ref.shared, ref.minor, causes_open, one.stale, before, _said(texts),
        (concluded.as_of, concluded.computed_at, concluded.medical, concluded.known_until) if concluded else today,
    )  # fmt: skip
    as_of, computed_at = (concluded.as_of, concluded.computed_at) if concluded else (today, None)
    return ListLine(key, as_of, computed_at, lambda: cut_for(_whole(one, today), causes_open))


def _said(texts: Iterable[str]) -> tuple[tuple[int, int], ...]:
    """What tells texts apart within this process: length and Python's own hash, which is keyed anew in every process
    (SipHash, PEP 456), so that nobody can write a text that is taken for another.
    """
    return tuple((len(text), hash(text)) for text in texts)


def _whole(one: Listed, today: date) -> AthleteShown:
    ref, concluded = one.ref, one.concluded
    bare = AthleteShown(ref.code, ref.name, ref.shared, today, None, True, None, "none", NOTHING, (), minor=ref.minor)
    if concluded is None:
        return bare
    return replace(
        bare,
        as_of=concluded.as_of,
        computed_at=concluded.computed_at,
        stale=one.stale,
        known_until=concluded.known_until,
        medical=concluded.medical,
        entries=tuple(_shown(entry) for entry in one.entries),
        picture=list_picture(json.loads(concluded.picture)),
        today=frozen(json.loads(concluded.verdict), Today),
        limits=frozen(json.loads(concluded.limits), tuple[Limit, ...]),
    )


def _shown(entry: Entry) -> EntryShown:
    shown = frozen(json.loads(entry.body), EntryShown)
    return shown if entry.before is None else since(shown, *entry.before)

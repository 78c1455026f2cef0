"""Rows of the tables that stand alone -> facts of one athlete in a fixed order, as known on the evening of a day."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import fields
from datetime import UTC, date, datetime
from functools import cache, lru_cache
from itertools import groupby
from operator import attrgetter
from typing import Any, TypeVar

from athletes.records.histories_raw import Tables, since
from coaching.rules.facts import (
    AwayFact,
    CareFact,
    CheckInFact,
    EpisodeFact,
    LookFact,
    SightingFact,
    SignoffFact,
)

Fact = TypeVar("Fact")
Rows = Iterable[Sequence[Any]]
OF_DAY = attrgetter("day")


def tables(raw: Tables, as_of: date, *, announced: bool = True) -> dict[str, tuple[Any, ...]]:
    """Fields of `AthleteFacts` that stand for a table each, in an order of what the rows say.

    Without `announced`, days away that begin after the day are left out.
    """
    today, oldest = as_of.isoformat(), since(as_of).isoformat()
    recent = {name: [r for r in raw[name] if oldest <= r[0] <= today] for name in ("checkins", "sightings")}
    given = [row for row in raw["signoffs"] if row[2] <= today]
    return {
        "checkins": in_order(_checkins(recent["checkins"])),
        "care": in_order(_care(r for r in raw["care"] if r[1] == "planned" or r[0] <= today)),
        "sightings": in_order(SightingFact(day(r[0]), r[1], _pairs(r[2]), r[3]) for r in recent["sightings"]),
        "signoffs": _sorted(SignoffFact(r[0], r[1], day(r[2]), maybe_day(r[3])) for r in given),
        "episodes": _sorted(_episodes(raw, today)),
        "away": _sorted(_away(raw["away"], as_of, announced)),
    }


@cache
def maker(kind: type[Fact]) -> Callable[[Iterable[Any]], Fact]:
    """How to make a frozen fact from the values of all its fields, in their order: what its class does, but in one step
    and not in a guarded one for each field. A pass makes a thousand facts for each athlete.
    """
    names, new = tuple(one.name for one in fields(kind)), object.__new__  # type: ignore[arg-type]

    def made(values: Iterable[Any]) -> Fact:
        fact = new(kind)
        fact.__dict__.update(zip(names, values, strict=True))
        return fact

    return made


def _sorted(rows: Iterable[Any]) -> tuple[Any, ...]:
    return tuple(sorted(rows, key=repr))


def in_order(rows: Iterable[Fact]) -> tuple[Fact, ...]:
    """By day, and within a day by what the rows say."""
    found = sorted(rows, key=OF_DAY)
    if len(set(map(OF_DAY, found))) == len(found):
        return tuple(found)
    ordered: list[Fact] = []
    for _, same_day in groupby(found, key=OF_DAY):
        group = list(same_day)
        ordered += group if len(group) == 1 else sorted(group, key=repr)
    return tuple(ordered)


@lru_cache(maxsize=8192)
def day(text: str) -> date:
    return date.fromisoformat(text)


def maybe_day(text: str | None) -> date | None:
    return None if text is None else day(text)


def _instant(text: str | None) -> datetime | None:
    """An instant as the database wrote it: with its offset, or in UTC."""
    if text is None:
        return None
    at = datetime.fromisoformat(text)
    return at.replace(tzinfo=UTC) if at.tzinfo is None else at.astimezone(UTC)


def pairs(marks: Iterable[Sequence[str]]) -> tuple[tuple[str, str], ...]:
    return tuple(sorted((site, mark) for site, mark in marks))


@lru_cache(maxsize=8192)
def _pairs(text: str) -> tuple[tuple[str, str], ...]:
    return pairs(json.loads(text))


@lru_cache(maxsize=8192)
def _words(text: str) -> tuple[str, ...]:
    return tuple(sorted(json.loads(text)))


def _checkins(rows: Rows) -> Iterable[CheckInFact]:
    make = maker(CheckInFact)
    for on, *ratings, marks, flags, seconds, note, step, made_at in rows:
        yield make((day(on), *ratings, _pairs(marks), _words(flags), seconds, note, step, _instant(made_at)))


def _care(rows: Rows) -> Iterable[CareFact]:
    make = maker(CareFact)
    for on, status, verb, form, strength, part, uses, sites, reaction in rows:
        said = (strength or None, part or None, uses, _words(sites), reaction or None)
        yield make((day(on), status, verb, form, *said))


def _episodes(raw: Tables, today: str) -> Iterable[EpisodeFact]:
    seen: dict[int, list[LookFact]] = defaultdict(list)
    for pk, on, *values in raw["looks"]:
        if on <= today:
            seen[pk].append(LookFact(day(on), *values))
    for pk, code, site, kind, noticed, depth, length, width, worries in raw["damage"]:
        if noticed <= today:
            measured = (depth or None, length, width, _words(worries))
            yield EpisodeFact(code, site, kind, day(noticed), *measured, in_order(seen[pk]))


def _away(rows: Rows, as_of: date, announced: bool) -> Iterable[AwayFact]:
    """Days away. Those to come are plans, but for illness: nobody knows of it beforehand, nor when it will end."""
    for first_on, last_on, kind in rows:
        first, last = day(first_on), day(last_on)
        if first <= as_of or (announced and kind != "illness"):
            yield AwayFact(first, min(last, as_of) if kind == "illness" else last, kind)

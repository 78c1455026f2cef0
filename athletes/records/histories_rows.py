"""Rows of the tables that stand alone -> facts by athlete in a fixed order, one query each."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from datetime import date, timedelta
from functools import lru_cache, partial
from itertools import groupby
from typing import Any, TypeVar

from django.db.models import Q, TextField
from django.db.models.functions import Cast

from athletes.records.models import Away, Care, CheckIn, Damage, Look, Sighting, Signoff
from coaching.rules.facts import (
    AwayFact,
    CareFact,
    CheckInFact,
    EpisodeFact,
    LookFact,
    SightingFact,
    SignoffFact,
)

HISTORY_DAYS = 400
"""How far back check-ins, sessions and sightings are read; care, damage and sign-offs are read whole."""
Fact = TypeVar("Fact")
ByAthlete = dict[int, list[Fact]]


def tables(ids: Sequence[int], as_of: date, *, announced: bool = True) -> dict[str, dict[int, tuple[Any, ...]]]:
    """Fields of `AthleteFacts` that stand for a table each, by athlete, in an order of what the rows say.

    Without `announced`, days away that begin after the day are left out.
    """
    absences = away if announced else partial(away, announced=False)
    daily = {"checkins": checkins, "care": care, "sightings": sightings}
    spans = {"signoffs": signoffs, "episodes": episodes, "away": absences}
    found = {name: _each(read(ids, as_of), in_order) for name, read in daily.items()}
    return found | {name: _each(read(ids, as_of), _sorted) for name, read in spans.items()}


def _each(rows: ByAthlete[Any], order: Callable[[Any], tuple[Any, ...]]) -> dict[int, tuple[Any, ...]]:
    return {key: order(group) for key, group in rows.items()}


def _sorted(rows: list[Any]) -> tuple[Any, ...]:
    return tuple(sorted(rows, key=repr))


def in_order(rows: Iterable[Fact]) -> tuple[Fact, ...]:
    """By day, and within a day by what the rows say."""
    day: Callable[[Any], date] = lambda fact: fact.day  # noqa: E731
    ordered: list[Fact] = []
    for _, same_day in groupby(sorted(rows, key=day), key=day):
        group = list(same_day)
        ordered += group if len(group) == 1 else sorted(group, key=repr)
    return tuple(ordered)


def pairs(marks: Iterable[Sequence[str]]) -> tuple[tuple[str, str], ...]:
    return tuple(sorted((site, mark) for site, mark in marks))


def _text(column: str) -> Cast:
    """A list as the database wrote it: most rows hold one of a few lists, and each is read but once."""
    return Cast(column, TextField())


@lru_cache(maxsize=8192)
def _pairs(text: str) -> tuple[tuple[str, str], ...]:
    return pairs(json.loads(text))


@lru_cache(maxsize=8192)
def _words(text: str) -> tuple[str, ...]:
    return tuple(sorted(json.loads(text)))


def since(as_of: date) -> date:
    return as_of - timedelta(days=HISTORY_DAYS)


def checkins(ids: Sequence[int], as_of: date) -> ByAthlete[CheckInFact]:
    columns = (
        "athlete_id",
        "local_date",
        "reserve",
        "dampness",
        "hardness",
        "sting",
        "pull_pain",
        "agent_used",
        _text("marks"),
        _text("red_flags"),
        "seconds",
        "note",
        "rating_step",
        "made_at",
    )
    found: ByAthlete[CheckInFact] = defaultdict(list)
    rows = CheckIn.objects.filter(athlete_id__in=ids, local_date__range=(since(as_of), as_of))
    for key, day, *ratings, marks, flags, seconds, note, step, made_at in rows.values_list(*columns):
        answers = (_pairs(marks), _words(flags), seconds, note, step, made_at)
        found[key].append(CheckInFact(day, *ratings, *answers))
    return found


def care(ids: Sequence[int], as_of: date) -> ByAthlete[CareFact]:
    columns = (
        "athlete_id",
        "local_date",
        "status",
        "verb",
        "form",
        "strength",
        "part",
        "uses",
        _text("sites"),
        "reaction",
    )
    found: ByAthlete[CareFact] = defaultdict(list)
    rows = Care.objects.filter(Q(status="planned") | Q(local_date__lte=as_of), athlete_id__in=ids)
    for key, day, status, verb, form, strength, part, uses, sites, reaction in rows.values_list(*columns):
        said = (strength or None, part or None, uses, _words(sites), reaction or None)
        found[key].append(CareFact(day, status, verb, form, *said))
    return found


def signoffs(ids: Sequence[int], as_of: date) -> ByAthlete[SignoffFact]:
    found: ByAthlete[SignoffFact] = defaultdict(list)
    rows = Signoff.objects.filter(athlete_id__in=ids, given_on__lte=as_of)
    for key, *values in rows.values_list("athlete_id", "form", "by", "given_on", "until"):
        found[key].append(SignoffFact(*values))
    return found


def episodes(ids: Sequence[int], as_of: date) -> ByAthlete[EpisodeFact]:
    columns = (
        "id",
        "athlete_id",
        "code",
        "site",
        "kind",
        "noticed_on",
        "depth",
        "length_mm",
        "width_mm",
        "worries",
    )
    seen = looks(ids, as_of)
    found: ByAthlete[EpisodeFact] = defaultdict(list)
    rows = Damage.objects.filter(athlete_id__in=ids, noticed_on__lte=as_of)
    for pk, key, code, site, kind, noticed, depth, length, width, worries in rows.values_list(*columns):
        measured = (depth or None, length, width, tuple(sorted(worries)))
        found[key].append(EpisodeFact(code, site, kind, noticed, *measured, in_order(seen[pk])))
    return found


def looks(ids: Sequence[int], as_of: date) -> ByAthlete[LookFact]:
    columns = ("damage_id", "local_date", "stage", "pain", "opens_on_pull", "balm_night", "taped", "bled")
    found: ByAthlete[LookFact] = defaultdict(list)
    rows = Look.objects.filter(damage__athlete_id__in=ids, local_date__lte=as_of)
    for pk, *values in rows.values_list(*columns):
        found[pk].append(LookFact(*values))
    return found


def sightings(ids: Sequence[int], as_of: date) -> ByAthlete[SightingFact]:
    found: ByAthlete[SightingFact] = defaultdict(list)
    rows = Sighting.objects.filter(athlete_id__in=ids, local_date__range=(since(as_of), as_of))
    for key, day, by, marks, note in rows.values_list("athlete_id", "local_date", "by", "marks", "note"):
        found[key].append(SightingFact(day, by, pairs(marks), note))
    return found


def away(ids: Sequence[int], as_of: date, *, announced: bool = True) -> ByAthlete[AwayFact]:
    """Days away. Those to come are plans, but for illness: nobody knows of it beforehand, nor when it will end."""
    found: ByAthlete[AwayFact] = defaultdict(list)
    rows = Away.objects.filter(~Q(kind="illness") | Q(first_day__lte=as_of), athlete_id__in=ids)
    if not announced:
        rows = rows.filter(first_day__lte=as_of)
    for key, first, last, kind in rows.values_list("athlete_id", "first_day", "last_day", "kind"):
        found[key].append(AwayFact(first, min(last, as_of) if kind == "illness" else last, kind))
    return found

"""A sample squad: some athletes of a bundle under codes of their own, and all of it found again to be taken away."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from typing import Any

from athletes.records.bundle.columns import TABLES
from athletes.records.bundle.loading import Loaded, load
from athletes.records.bundle.reading import Bundle, Rows
from athletes.records.bundle.shifting import shifted
from athletes.records.models import Club, Event, Membership, Person, Place, Role, Squad

KEYS = frozenset({"athlete_id", "squad_id", "place_id", "event_id", "episode_id"})
"""Columns that name a row; each gets the code of the sample before it, so that no two samples meet."""
NAMED = frozenset({"athletes.csv", "events.csv", "places.csv"})
LEFT_OUT = frozenset({"people.csv"})


def make(bundle: Bundle, athletes: Collection[str], code: str, mark: str, name: str, person: int, days: int) -> Loaded:
    """Load these athletes of the bundle, moved by so many days, into a club and a squad of their own that the person
    leads. `code` stands before every code and `mark` after every name. Call it inside a transaction.
    """
    loaded = load(shifted(_narrowed(bundle, athletes, code, mark, name), days), f"{name} {code}")
    squad = Squad.objects.get(code__startswith=code)
    Squad.objects.filter(pk=squad.pk).update(sample=True)
    Role.objects.create(person=Person.objects.get(pk=person), squad=squad, role="head-coach")
    return loaded


def _narrowed(bundle: Bundle, athletes: Collection[str], code: str, mark: str, name: str) -> Bundle:
    episodes = {row[0] for row in bundle.rows("damage.csv") if row[1] in athletes}
    squad = bundle.rows("squads.csv")[0][0]
    tables = {}
    for file, rows in bundle.tables.items():
        if file in LEFT_OUT:
            continue
        columns = TABLES[file].names
        found = Rows()
        for row, number in zip(rows.rows, rows.numbers, strict=True):
            told = dict(zip(columns, row, strict=True))
            others = told.get("athlete_id", next(iter(athletes))) not in athletes
            if others or (file == "damage_looks.csv" and told["episode_id"] not in episodes):
                continue
            if file == "squads.csv" and told["squad_id"] != squad:
                continue
            if file == "squads.csv":
                told["name"] = name
            found.add(tuple(_renamed(file, column, value, code, mark) for column, value in told.items()), number)
        tables[file] = found
    return replace(bundle, tables=tables)


def _renamed(file: str, column: str, value: Any, code: str, mark: str) -> Any:
    if column in KEYS and value is not None:
        return f"{code}{value}"
    return f"{value} ({mark})" if column == "name" and file in NAMED else value


def athletes_of(squad_id: int) -> list[int]:
    """Keys of the members of a sample squad who are in no other."""
    mine = Membership.objects.filter(squad_id=squad_id, squad__sample=True).values_list("athlete_id", flat=True)
    others = Membership.objects.filter(athlete_id__in=list(mine)).exclude(squad_id=squad_id)
    return sorted(set(mine) - set(others.values_list("athlete_id", flat=True)))


def take_away(squad_id: int) -> None:
    """What is left of a sample once its athletes are erased: events, places, squad and club, by their code."""
    squad = Squad.objects.get(pk=squad_id, sample=True)
    code = squad.code.split("-")[0] + "-"
    club = squad.club_id
    squad.delete()
    Event.objects.filter(code__startswith=code, entries__isnull=True).delete()
    Place.objects.filter(code__startswith=code, event__isnull=True, session__isnull=True).delete()
    Club.objects.filter(pk=club, squads__isnull=True).delete()

"""Steps that the kind of skin asks for without any damage: cream for dry skin, level ridges and treated skin, what
belongs to a day in damp or dry air. Common practice, no source, but for the creams.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from coaching.rules import skin
from coaching.rules.case import Case
from coaching.rules.conclusions import Overruled
from coaching.rules.event_needs import air_change, leaves_on
from coaching.rules.facts import EntryFact

AHEAD_DAYS = 7
FILED_DAYS = 7
"""Common practice, no source: treated skin is levelled about once a week, or it goes hard and yellow."""
LEVELLED = ("ridge", "glassy", "shedding")
AIR_DRY, AIR_DAMP = ("damp cloth", "coarse chalk"), ("fan", "longer rests", "alcohol base", "fine chalk")


@dataclass(frozen=True)
class Wanted:
    """A step before the rulebook's words are put to it."""

    day: date
    part: str
    form: str
    sites: tuple[str, ...] = ()
    if_: str | None = None
    overruled: tuple[Overruled, ...] = ()


def daily(case: Case) -> Iterator[Wanted]:
    """Without an event ahead nothing is asked for; what the athlete has planned anyhow is not asked twice."""
    planned = {(one.day, one.form) for one in case.planned}
    found = [*_creams(case), *_levelling(case), *(one for entry in case.entries for one in _air(case, entry))]
    yield from (one for one in found if (one.day, one.form) not in planned)


def _creams(case: Case) -> Iterator[Wanted]:
    """Dry skin: a humectant every night, an occlusive over the creases before dry air and on the way to any event:
    cabins are dry whatever the place is. Glassy skin of any kind is over-dried: the humectant too (label of a
    methenamine ointment: brittle skin wants grease).
    """
    if not case.entries or not (case.kind == "dry" or case.glassy):
        return
    drier = [entry for entry in case.entries if air_change(case, entry).drier]
    for day in _week(case):
        yield Wanted(day, "night", "humectant cream")
        if drier:
            yield Wanted(day, "night", "occlusive ointment")
    for entry in case.entries if case.kind == "dry" else ():
        leaves = leaves_on(case, entry)
        if leaves and leaves >= case.as_of:
            yield Wanted(leaves, "day", "occlusive ointment")


def _levelling(case: Case) -> Iterator[Wanted]:
    """Ridges that catch, loose peeling layers and glassy tips are levelled; under an agent the skin is, about once a
    week, and so are pads that were rated glassy.
    """
    marks = [one for mark in LEVELLED for one in skin.marked(case.facts, mark, case.as_of)]
    for site in dict.fromkeys(site for site, _ in marks):
        yield Wanted(case.as_of, "evening", "level callus", (site,))
    since = case.as_of - timedelta(days=FILED_DAYS)
    filed = any(one.verb == "even" and one.status == "done" and one.day > since for one in case.facts.care)
    filing = any(one.verb == "even" for one in case.planned)
    asked = case.methenamine_in_use or case.glassy
    if asked and case.entries and not (marks or filed or filing):
        yield Wanted(case.as_of, "evening", "level callus")


def _air(case: Case, entry: EntryFact) -> Iterator[Wanted]:
    """What helps between tries on the days of the event itself: of damp skin anywhere, of mixed skin in damper air;
    nothing that dries while it is glassy.
    """
    change = air_change(case, entry)
    damp = (change.damper or case.kind == "damp") and not case.glassy
    forms = AIR_DAMP if damp else AIR_DRY if case.kind == "dry" else ()
    for day in (day for day in _week(case) if entry.first_day <= day <= entry.last_day):
        yield from (Wanted(day, "day", form) for form in forms)


def _week(case: Case) -> list[date]:
    return [case.as_of + timedelta(days=n) for n in range(AHEAD_DAYS)]

"""The way nobody should recompute, as a yardstick: rows fetched day by day, athletes worked on one by one.

For each athlete and each day it asks for the check-in, the sessions and the care of that day, makes the same estimate
of that one athlete, decides and stores with `update_or_create`. Air and the squad's bar are left out, which spares it
work; so the ratio to the product's way is rather too small than too large.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django.apps import apps

from coaching.ledger.codec import plain
from coaching.ledger.models import Conclusion, EntryConclusion
from coaching.rules import rulebook
from coaching.rules.decide import decide
from coaching.rules.facts import (
    AthleteFacts,
    AwayFact,
    CareFact,
    CheckInFact,
    EntryFact,
    EpisodeFact,
    LookFact,
    SessionFact,
    SightingFact,
    SignoffFact,
)
from coaching.science import versions
from coaching.usecases import clock, figuring, picturing
from coaching.usecases.conclude import AHEAD_DAYS, FURTHEST_DAYS, PAST_DAYS, digest


def one_by_one(athlete_ids: list[int], as_of: date) -> None:
    """Recompute each athlete with rows of the object-relational mapper, and store the conclusions."""
    for athlete_id in athlete_ids:
        facts = _facts(_table("Athlete").objects.get(id=athlete_id), as_of)
        _conclude(athlete_id, facts, as_of)


def _table(name: str) -> Any:
    """A table of the records. Only this yardstick goes past their door, on a database that is thrown away."""
    return apps.get_model("records", name)


def _facts(row: Any, as_of: date) -> AthleteFacts:
    days = [as_of + timedelta(days=n) for n in range(-PAST_DAYS, AHEAD_DAYS + 1)]
    by_day = [_day(row, day, day <= as_of) for day in days]
    return AthleteFacts(
        row.code,
        None,
        row.timezone,
        row.dominant_hand or None,
        row.skin_kind or None,
        frozenset(row.sensitivities),
        frozenset(row.contraindications),
        checkins=tuple(fact for found in by_day for fact in found[0]),
        sessions=tuple(fact for found in by_day for fact in found[1]),
        care=tuple(fact for found in by_day for fact in found[2]),
        signoffs=tuple(SignoffFact(s.form, s.by, s.given_on, s.until) for s in row.signoffs.all()),
        episodes=tuple(_episode(d) for d in row.damage.filter(noticed_on__lte=as_of)),
        sightings=tuple(SightingFact(s.local_date, s.by) for s in row.sightings.all()),
        away=tuple(AwayFact(a.first_day, a.last_day, a.kind) for a in row.away_days.all()),
        entries=tuple(_entry(e) for e in row.entries.all() if _near(e.event, as_of)),
    )


def _day(row: Any, day: date, past: bool) -> tuple[list[CheckInFact], list[SessionFact], list[CareFact]]:
    answers = _table("CheckIn").objects.filter(athlete=row, local_date=day) if past else ()
    sessions = _table("Session").objects.filter(athlete=row, local_date=day)
    care = _table("Care").objects.filter(athlete=row, local_date=day)
    return (
        [CheckInFact(day, c.reserve, c.dampness, c.hardness, c.sting, c.pull_pain, c.agent_used) for c in answers],
        [_session(s, n) for n, s in enumerate(sessions, 1) if past or s.planned],
        [
            CareFact(day, c.status, c.verb, c.form, c.strength or None, c.part or None, c.uses)
            for c in care
            if past or c.status == "planned"
        ],
    )


def _session(s: Any, n: int) -> SessionFact:
    return SessionFact(
        s.local_date, s.planned, s.minutes, s.rpe, s.surface or None, s.hard_tries, s.skin_limited, s.ordinal or n
    )


def _episode(d: Any) -> EpisodeFact:
    looks = d.looks.order_by("local_date")
    seen = tuple(LookFact(s.local_date, s.stage, s.pain, s.opens_on_pull, s.balm_night) for s in looks)
    return EpisodeFact(d.code, d.site, d.kind, d.noticed_on, d.depth or None, looks=seen)


def _near(event: Any, as_of: date) -> bool:
    return 0 <= (event.last_day - as_of).days <= FURTHEST_DAYS


def _entry(entry: Any) -> EntryFact:
    e = entry.event
    return EntryFact(e.code, e.name, e.kind, e.first_day, e.last_day, e.timezone, e.surface or None)


def _conclude(athlete_id: int, facts: AthleteFacts, as_of: date) -> None:
    model = versions.get(versions.CURRENT)
    ((numbers, days),) = figuring.figures([facts], as_of, model, (PAST_DAYS, AHEAD_DAYS))
    found = decide(facts, numbers, as_of, rulebook.current())
    picture = picturing.picture(facts, numbers, days, as_of)
    stands = {
        "model": versions.CURRENT,
        "rulebook": rulebook.current().version,
        "inputs_digest": digest(facts),
        "input_rev": 0,
        "computed_at": clock.now(),
        "medical": found.medical,
        "may_climb": found.today.may_climb,
        "known_until": found.known_until,
        "body": plain(found),
        "picture": plain(picture),
    }
    Conclusion.objects.update_or_create(athlete_id=athlete_id, as_of=as_of, defaults=stands)
    for n, (entry, fact) in enumerate(zip(found.entries, facts.entries, strict=False)):
        held = {"level": entry.level, "p": entry.p, "low": entry.low, "high": entry.high, "bar_frac": entry.bar_frac}
        span = {"first_day": fact.first_day, "last_day": fact.last_day, "body": plain(entry)}
        EntryConclusion.objects.update_or_create(
            athlete_id=athlete_id, event_id=-1 - n, as_of=as_of, defaults=held | span
        )

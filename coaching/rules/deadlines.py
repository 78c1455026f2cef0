"""The last safe days before an event, worked back from its first day from the late end of every duration.

Only what applies to this athlete and this event is listed. An action that is not done by the evening of its
last day is missed; a day that is only a limit ("no more of it after this day") is done once it has passed and
was kept.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from coaching.rules import deadlines_agents, deadlines_damage
from coaching.rules.case import Case
from coaching.rules.conclusions import Deadline
from coaching.rules.deadline_states import Last, action, by_rulebook, limit
from coaching.rules.event_needs import air_change, closes_on, leaves_on, wants_toughening
from coaching.rules.facts import EntryFact
from coaching.rules.schedule import latest_starts
from coaching.rules.skin import Pink
from coaching.rules.timing import RUN_BEGAN_DAYS, RUN_LEAST_EVENINGS

ROUGH_SURFACES = frozenset({"sharp rock", "fresh plastic", "ordinary rock"})
RUNNING_GAP_DAYS = 3
REHEARSAL_COUNTS_DAYS = 42
REST_HELPS_FRAC = 0.03
NIGHT_CREAMS = ("humectant cream", "oil-based cream", "occlusive ointment", "wax balm")


def for_entry(case: Case, entry: EntryFact) -> tuple[Deadline, ...]:
    """Deadlines of one entry by latest day; none once the event has begun.

    Under a medical stop only the day on which entries close: nothing on the skin is proposed.
    """
    if case.as_of >= entry.first_day:
        return ()
    if case.medical_stop:
        return tuple(_entry(case, entry))
    found = [
        *deadlines_agents.agents(case, entry),
        *deadlines_damage.looks_and_tries(case, entry),
        *_wear(case, entry),
        *_rest(case, entry),
        *_soften(case, entry),
        *_toughening(case, entry),
        *_rehearsal(case, entry),
        *_entry(case, entry),
    ]
    return tuple(sorted(found, key=lambda one: (one.latest, one.kind, one.form or "", one.site or "")))


def _wear(case: Case, entry: EntryFact) -> Iterator[Deadline]:
    rough = by_rulebook(case, entry, "rough-session-last")
    climbed = any(
        not one.planned and rough.latest < one.day < entry.first_day and one.surface in ROUGH_SURFACES
        for one in case.facts.sessions
    )
    yield limit(case, rough, climbed)
    even = by_rulebook(case, entry, "even-last")
    filed = any(
        row.verb == "even" and row.status == "done" and even.latest < row.day < entry.first_day
        for row in case.facts.care
    )
    yield limit(case, even, filed)


def _rest(case: Case, entry: EntryFact) -> Iterator[Deadline]:
    """Pink tips rest from the day after they were seen; else rest is listed where it lifts the chance."""
    if case.pink:
        yield _rest_after(case, entry, case.pink)
        return
    chances = case.numbers_for(entry)
    if chances.p_rest - chances.p >= REST_HELPS_FRAC:
        last = by_rulebook(case, entry, "rest-start")
        yield action(case, last, _rested(case, last.latest))


def _rest_after(case: Case, entry: EntryFact, pink: Pink) -> Deadline:
    start = min(pink.seen_on + timedelta(days=1), entry.first_day - timedelta(days=1))
    return action(case, Last("rest-start", start, site=pink.sites[0]), _rested(case, start))


def _rested(case: Case, start: date) -> bool:
    """Begun and kept: every day from the start until today is known to be without load."""
    days = [start + timedelta(days=n) for n in range((case.as_of - start).days + 1)]
    return bool(days) and all(_no_load(case, day) for day in days)


def _no_load(case: Case, day: date) -> bool:
    """A done rest day, or a logged session of no minutes. No log is not known, so it is not rest."""
    if any(row.day == day for form in ("rest day", "rest hand") for row in case.done(form)):
        return True
    logged = [one for one in case.facts.sessions if not one.planned and one.day == day]
    return bool(logged) and all(one.minutes == 0 for one in logged)


def _soften(case: Case, entry: EntryFact) -> Iterator[Deadline]:
    """Dry skin: a night cream, begun and still going on (done within the last three days)."""
    if case.kind == "dry":
        since = case.as_of - timedelta(days=RUNNING_GAP_DAYS)
        going = any(row.day >= since for form in NIGHT_CREAMS for row in case.done(form))
        yield action(case, by_rulebook(case, entry, "soften-start", "humectant cream"), going)


def _toughening(case: Case, entry: EntryFact) -> Iterator[Deadline]:
    """A run of evenings that ends before the travel, or early enough for sore sides to settle."""
    rule = case.book.form("scrape finger sides")
    if rule is None or not wants_toughening(entry):
        return
    settled = entry.first_day - timedelta(days=rule.stop_days)
    away = leaves_on(case, entry)
    stop = min(settled, away - timedelta(days=1)) if away else settled
    run_days = case.book.deadlines["toughen"].days
    median, start = (latest_starts(stop + timedelta(days=1), [("run", days)])["run"] for days in run_days)
    last = Last("toughen-start", start, median, rule.form, rule=rule.rule)
    yield action(case, last, _run_begun(case, rule.form, start, stop))
    late = any(stop < row.day < entry.first_day for row in case.done(rule.form))
    yield limit(case, Last("toughen-stop", stop, None, rule.form, rule=rule.rule), late)
    if case.minor:
        yield deadlines_agents.signoff(case, rule, start)


def _run_begun(case: Case, form: str, start: date, stop: date) -> bool:
    """Begun in time, or seven evenings of it done."""
    since = start - timedelta(days=RUN_BEGAN_DAYS)
    evenings = {row.day for row in case.done(form) if since <= row.day <= stop}
    return len(evenings) >= RUN_LEAST_EVENINGS or (bool(evenings) and min(evenings) <= start)


def _rehearsal(case: Case, entry: EntryFact) -> Iterator[Deadline]:
    if air_change(case, entry).damper:
        since = entry.first_day - timedelta(days=REHEARSAL_COUNTS_DAYS)
        rehearsed = any(row.day >= since for row in case.done("rehearsal"))
        yield action(case, by_rulebook(case, entry, "rehearsal-start", "rehearsal"), rehearsed)


def _entry(case: Case, entry: EntryFact) -> Iterator[Deadline]:
    """The day on which entries close, with the instant itself in the zone of the event; a last day, not a
    task.
    """
    day = closes_on(case, entry)
    if day is None or entry.entry_deadline is None:
        return
    at = entry.entry_deadline.astimezone(ZoneInfo(entry.timezone)).isoformat()
    waits = _waits_for(case, entry, day) if day >= case.as_of else None
    yield replace(limit(case, Last("entry", day), broken=False), if_=waits, at=at, zone=entry.timezone)


def _waits_for(case: Case, entry: EntryFact, closes: date) -> str | None:
    """The taped try, or the look, whose answer the entry waits for; an answer after that day helps nobody."""
    pending = deadlines_damage.looks_and_tries(case, entry)
    for kind in ("taped-try", "look"):
        days = [one.latest for one in pending if one.kind == kind and one.latest <= closes]
        if days:
            return f"{kind}:{max(days).isoformat()}"
    return None

"""What is left if skin does not hold: codes with what they cost, in numbers. The coach decides."""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Set as AbstractSet
from datetime import timedelta

from coaching.rules.case import Case
from coaching.rules.conclusions import Deadline, Fallback, Number
from coaching.rules.damage import TRY_WORTH_FRAC, Damage
from coaching.rules.event_needs import closes_on
from coaching.rules.facts import EntryFact
from coaching.rules.levels import bar_of
from coaching.rules.refusals import allowed_now

NEEDS_FALLBACK = frozenset({"tight", "act", "out-of-reach", "not-known"})


def fallbacks(
    case: Case, entry: EntryFact, level: str, deadlines: tuple[Deadline, ...]
) -> tuple[Fallback, ...]:
    """In the order to try them. None for an entry on course, unless a last day was missed on the way. Under a medical
    stop nothing is offered that means climbing there.
    """
    missed = {one.kind for one in deadlines if one.state == "missed"}
    if level not in NEEDS_FALLBACK and not missed:
        return ()
    begun = case.as_of >= entry.first_day
    found = list(_medical(case))
    if not case.medical_stop:
        found += [*_protect(case, entry), *_sides(case, entry, missed), *_trip(case, entry)]
        found += [] if begun else _lighter(case, entry)
    found += [] if begun else _stand_in(case, entry, deadlines)
    found += _withdraw(case, entry, level)
    return tuple(found)


def _medical(case: Case) -> Iterator[Fallback]:
    if case.medical != "none":
        yield Fallback("medical", {"grade": case.medical})


def _protect(case: Case, entry: EntryFact) -> Iterator[Fallback]:
    """Only where tape is allowed and may carry it; on a trip the days to come count too."""
    numbers, damages = case.numbers_for(entry), case.damages_for(entry)
    hopeless = entry.kind != "trip" and numbers.p_protected < TRY_WORTH_FRAC
    if not (damages or case.pink) or (damages and hopeless) or not _may_tape(case, damages):
        return
    cost: dict[str, Number] = {"p": _frac(numbers.p)}
    if damages:  # of pink tips alone nobody knows how often tape carries them
        cost["p_protected"] = _frac(numbers.p_protected)
    yield Fallback("protect", cost)


def _sides(case: Case, entry: EntryFact, missed: AbstractSet[str]) -> Iterator[Fallback]:
    """Sides of fingers that were not toughened in time are taped; damage has its own line."""
    if "toughen-start" in missed and not case.damages_for(entry) and not case.pink and _may_tape(case, ()):
        yield Fallback("protect", {"p": _frac(case.numbers_for(entry).p)})


def _may_tape(case: Case, damages: tuple[Damage, ...]) -> bool:
    sites = tuple(one.site for one in damages)
    return allowed_now(case, "session tape", sites, case.as_of)


def _lighter(case: Case, entry: EntryFact) -> Iterator[Fallback]:
    """Another entry of the same athlete, not overlapping, for which skin is likelier to hold."""
    numbers = case.numbers_for(entry)
    for other in case.entries:
        apart = other.first_day > entry.last_day or other.last_day < entry.first_day
        if other.event_id == entry.event_id or not apart or other.event_id not in case.numbers.entries:
            continue
        gain = case.numbers.entries[other.event_id].p - numbers.p
        if gain > 0:
            days = (other.first_day - entry.first_day).days
            yield Fallback(
                "lighter-event", {"event_id": other.event_id, "p_gain": _frac(gain), "days_later": days}
            )
            return


def _trip(case: Case, entry: EntryFact) -> Iterator[Fallback]:
    if entry.kind != "trip":
        return
    numbers = case.numbers_for(entry)
    if numbers.good_days:
        of, p50, low, high = numbers.good_days
        if of > 1:
            yield Fallback(
                "fewer-days", {"days_lost": round(of - p50, 1), "low": low, "high": high, "of": of}
            )
    days_lost = _days_until_usable(case, entry)
    if days_lost and case.as_of < entry.first_day:
        yield Fallback("later-arrival", {"days_lost": days_lost})


def _days_until_usable(case: Case, entry: EntryFact) -> int:
    """Days of the trip that pass before all that bears on it is usable taped at the late end; 0: none, or
    never.
    """
    days = [one.day_of("usable", "q80_d") for one in case.damages_for(entry)]
    known = [day for day in days if day is not None and day > entry.first_day]
    if not known or len(known) < len([day for day in days if day is None or day > entry.first_day]):
        return 0
    return (max(known) - entry.first_day).days if max(known) <= entry.last_day else 0


def _stand_in(case: Case, entry: EntryFact, deadlines: tuple[Deadline, ...]) -> Iterator[Fallback]:
    """Named by the day entries close; where no such day is known, by the day before the event."""
    closes = closes_on(case, entry) or entry.first_day - timedelta(days=1)
    if closes < case.as_of:
        return
    cost: dict[str, Number] = {
        "p_lost": _frac(case.numbers_for(entry).p),
        "days_left": (closes - case.as_of).days,
    }
    instant = next((one.at for one in deadlines if one.kind == "entry"), None)
    zone: dict[str, Number] = {"zone": entry.timezone} if instant else {}
    yield Fallback("stand-in", {**cost, "by": instant or closes.isoformat(), **zone})


def _withdraw(case: Case, entry: EntryFact, level: str) -> Iterator[Fallback]:
    if level in ("act", "out-of-reach"):
        numbers = case.numbers_for(entry)
        cost: dict[str, Number] = {"p_lost": _frac(numbers.p), "bar": bar_of(case, entry)[0]}
        days = (entry.last_day - max(entry.first_day - timedelta(days=1), case.as_of)).days
        yield Fallback("withdraw", {**cost, "days_lost": days})


def _frac(value: float) -> float:
    return round(value, 3)

"""Limits by day up to the next events for damage and pink tips: how rough, how long, how many hard tries.

The days for pink tips are common practice without a source (a day or two off, as before after two to five);
the numbers of tries and minutes are judgement: enough to answer the question, too few to wear.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from coaching.rules import days_on, layoff
from coaching.rules.case import Case
from coaching.rules.conclusions import Limit
from coaching.rules.damage import Damage
from coaching.rules.deadline_states import by_rulebook
from coaching.rules.deadlines import ROUGH_SURFACES
from coaching.rules.deadlines_damage import PINK_MATTERS_DAYS, at_stake, try_day, try_pending
from coaching.rules.facts import EntryFact
from coaching.rules.holds import LIFTED
from coaching.rules.verdict import may_climb

TEST_MINUTES, TEST_TRIES = 30, 10
PROTECTED_TRIES = 6
"""Judgement: three to six hard tries on a sharp crux once skin is pink or taped."""
EASY_MINUTES = 45
EASY_DAYS = 7
CLOSE_DAYS = 7
ROUGHNESS = ("wood", "plastic", "fine rock", "fresh plastic", "ordinary rock", "sharp rock")
ONE_DAY = timedelta(days=1)
REST, TRY, EVE, TAPE = "rest.rest-day", "try.taped-try", "deadline.rest-start", "cover.session-tape"
ROUGH = "deadline.rough-session-last"
"""Entries of the rulebook that say why a day is limited."""


def limits(case: Case) -> tuple[Limit, ...]:
    """One limit a day, the strictest of all that hold, by date; none once a medical stop makes them
    pointless.
    """
    if case.medical_stop:
        return (_no_load(case.as_of), _no_load(case.as_of + ONE_DAY))
    found: dict[date, Limit] = {}
    for one in _all(case):
        if one.date >= case.as_of and not case.competes_on(one.date):
            found[one.date] = _stricter(found[one.date], one) if one.date in found else one
    found.update(days_on.rests(case, found))
    return tuple(found[day] for day in sorted(found))


def _all(case: Case) -> Iterator[Limit]:
    ahead = [entry for entry in case.entries if entry.first_day > case.as_of]
    yield from _for_today(case)
    if case.worn:  # nothing left today: not on the next day either. Common practice, no source
        yield _no_load(case.as_of + ONE_DAY)
    yield from _for_layoff(case)
    yield from _for_pink(case, ahead[0] if ahead else None)
    yield from _between_events(case)
    for damage in case.damages:
        yield from _for_holed(damage)
    for entry in ahead:
        yield from _for_rough(case, entry)
        for damage in at_stake(case, entry):
            yield from _for_damage(case, entry, damage)


def _for_today(case: Case) -> Iterator[Limit]:
    """What the day's verdict allows: nothing, a short session after a look, or kind holds and few hard tries."""
    verdict, trip = may_climb(case), _trip_on(case, case.as_of)
    surface = surface_of(trip) if trip else "plastic"
    if verdict == "off":
        yield _no_load(case.as_of)
    elif verdict == "not-known":
        yield Limit(case.as_of, surface, TEST_MINUTES, TEST_TRIES, f"look:{case.as_of.isoformat()}", "deadline.look")
    elif verdict != "free":
        yield Limit(case.as_of, surface, None, PROTECTED_TRIES if verdict == "protected" else None, rule=TAPE)


def _for_layoff(case: Case) -> Iterator[Limit]:
    """Back after weeks away: short, easy sessions for a week. Common practice, no source; the days are judgement."""
    found = layoff.latest(case.facts, case.as_of)
    if found is None:
        return
    back_on = found.back_on or case.as_of + ONE_DAY
    for day in (back_on + n * ONE_DAY for n in range(EASY_DAYS)):
        trip = _trip_on(case, day)
        yield Limit(day, surface_of(trip) if trip else "plastic", EASY_MINUTES, TEST_TRIES, rule=REST)


def _for_rough(case: Case, entry: EntryFact) -> Iterator[Limit]:
    """A rough session planned after the last day for one is moved to plastic."""
    last = by_rulebook(case, entry, "rough-session-last").latest
    rough = [one for one in case.facts.sessions if one.planned and one.surface in ROUGH_SURFACES]
    yield from (Limit(one.day, "plastic", None, None, rule=ROUGH) for one in rough if last < one.day < entry.first_day)


def _between_events(case: Case) -> Iterator[Limit]:
    """Two events a week or less apart: the usual week does not fit in between. The day after the first and the eve
    of the second without load, wood, then short and easy. Pink tips have a row of their own. Judgement.
    """
    live = sorted((e for e in case.facts.entries if e.status != "withdrawn"), key=lambda e: (e.first_day, e.event_id))
    for one, other in zip(live, live[1:], strict=False):
        gap_days = (other.first_day - one.last_day).days
        if case.pink_lately or not 1 < gap_days <= CLOSE_DAYS:
            continue
        yield _no_load(one.last_day + ONE_DAY)
        for n in range(2, gap_days - 1):
            surface = "wood" if n == 2 else "plastic"
            yield Limit(one.last_day + n * ONE_DAY, surface, EASY_MINUTES, TEST_TRIES, rule=REST)
        yield _no_load(other.first_day - ONE_DAY, EVE)


def _for_pink(case: Case, entry: EntryFact | None) -> Iterator[Limit]:
    """Two days without load, a day on wood that ends in a look, a short test if that look finds none pink.

    Rest on the eve of the event. A competition ends the row: what its tips are like afterwards, nobody knows
    yet. On a trip there is no wood: a short easy session on its own rock. Seen well, only the test and the
    rest on the eve are left.
    """
    pink = case.pink or case.pink_lately
    if pink is None:
        return
    ends = entry.first_day if entry and entry.kind == "competition" else date.max
    trip = _trip_on(case, pink.look_on)
    like = trip or entry
    surface = surface_of(like) if like else "plastic"
    minutes, tries = (TEST_MINUTES, 0) if trip else (None, None)
    easy = Limit(pink.look_on, surface if trip else "wood", minutes, tries, rule=REST)
    row: tuple[Limit, ...] = (
        _no_load(pink.seen_on + ONE_DAY),
        _no_load(pink.off_until),
        easy,
        Limit(pink.test_on, surface, TEST_MINUTES, TEST_TRIES, f"look:{pink.look_on.isoformat()}", "deadline.look"),
    )
    if case.pink is None:  # looked at and well again: the test comes first all the same
        row = (Limit(pink.test_on, surface, TEST_MINUTES, TEST_TRIES, rule=REST),)
    yield from (one for one in row if one.date < ends)
    if entry and (entry.first_day - case.as_of).days <= PINK_MATTERS_DAYS:
        yield _no_load(entry.first_day - ONE_DAY, EVE)


def _trip_on(case: Case, day: date) -> EntryFact | None:
    trips = [one for one in case.entries if one.kind == "trip"]
    return next((one for one in trips if one.first_day <= day <= one.last_day), None)


def _for_holed(damage: Damage) -> Iterator[Limit]:
    """Worn through to blood: no load until it has had its days off, on a trip like at home."""
    if damage.too_fresh:
        first, ends = damage.fact.noticed_on, damage.off_until
        yield from (_no_load(first + timedelta(days=n)) for n in range(1, (ends - first).days))


def _for_damage(case: Case, entry: EntryFact, damage: Damage) -> Iterator[Limit]:
    """A counted taped try if the look of that day allows it, and nothing on the day before the event."""
    day = try_day(case, entry, damage)
    if not try_pending(case, entry, damage):
        yield _no_load(entry.first_day - ONE_DAY, EVE)
        return
    yield Limit(day, surface_of(entry), None, tries_of(case, damage), f"look:{day.isoformat()}", TRY)
    if day < entry.first_day - ONE_DAY:
        yield _no_load(entry.first_day - ONE_DAY, EVE)


def tries_of(case: Case, damage: Damage) -> int:
    few, more = case.book.forms["taped try"].hard_tries
    return few if damage.fact.kind in LIFTED else more


def surface_of(entry: EntryFact) -> str:
    """The event's own surface, so that the test is like the event; not known: plastic, or ordinary rock on a
    trip.
    """
    return entry.surface or ("ordinary rock" if entry.kind == "trip" else "plastic")


def _no_load(day: date, rule: str = REST) -> Limit:
    return Limit(day, None, 0, 0, rule=rule)


def _stricter(one: Limit, other: Limit) -> Limit:
    if one.surface is None or other.surface is None:
        return one if one.surface is None else other
    return Limit(
        one.date,
        min(one.surface, other.surface, key=_roughness),
        _least(one.minutes, other.minutes),
        _least(one.hard_tries, other.hard_tries),
        one.if_ or other.if_,
        one.rule if one.if_ or not other.if_ else other.rule,
    )


def _roughness(surface: str) -> int:
    return ROUGHNESS.index(surface) if surface in ROUGHNESS else len(ROUGHNESS)


def _least(one: int | None, other: int | None) -> int | None:
    known = [value for value in (one, other) if value is not None]
    return min(known) if known else None

"""The steps of today and later: planned care that is allowed, and what the rulebook adds for damage and pink
tips.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from coaching.rules import holds
from coaching.rules.case import Case
from coaching.rules.conclusions import Overruled, Step
from coaching.rules.damage import Damage
from coaching.rules.deadlines_damage import at_stake, has_try, try_day, try_pending
from coaching.rules.refusals import Verdict, allowed_now
from coaching.rules.steps_daily import Wanted, daily

CARE_AHEAD_DAYS = 7
MOIST_DAYS = 2  # 48 hours from the evening it was noticed
PART_ORDER = ("morning", "day", "evening", "night")
ONE_DAY = timedelta(days=1)


def steps(case: Case, judged: tuple[Verdict, ...]) -> tuple[Step, ...]:
    """Steps by day and part of the day; a planned step and the same one from the rulebook appear once."""
    wanted = [_planned(case, one) for one in judged if one.allowed]
    if not case.medical_stop:
        wanted += [one for one in (*_care(case), *daily(case)) if _may(case, one)]
    wanted.sort(key=lambda one: (one.day, PART_ORDER.index(one.part), one.form, one.sites))
    return tuple(_step(case, one) for one in dict.fromkeys(wanted))


def _planned(case: Case, verdict: Verdict) -> Wanted:
    row, rule = verdict.row, verdict.rule
    waits = f"look:{row.day.isoformat()}" if row.verb == "try" and case.damages else None
    part = row.part or (rule.parts[0] if rule else "day")
    said = tuple(Overruled(one.class_, one.by, one.given_on, one.note) for one in verdict.overruled)
    return Wanted(row.day, part, row.form, row.sites, waits, said)


def _may(case: Case, one: Wanted) -> bool:
    return one.if_ is not None or allowed_now(case, one.form, one.sites, one.day)


def _step(case: Case, one: Wanted) -> Step:
    rule = case.book.forms[one.form]
    return Step(
        one.day,
        one.part,
        rule.verb,
        one.form,
        one.sites,
        rule.rule,
        rule.caution,
        rule.source,
        one.if_,
        rule.how,
        one.overruled,
    )


def _care(case: Case) -> Iterator[Wanted]:
    for damage in case.damages:
        yield from _for_open(case, damage) if damage.is_open else _for_closed(case, damage)
    yield from _for_pink(case)
    for entry in case.entries:
        for damage in at_stake(case, entry):
            day = try_day(case, entry, damage)
            if case.as_of <= day < entry.first_day and try_pending(case, entry, damage):
                yield Wanted(day, "day", "taped try", (damage.site,), f"look:{day.isoformat()}")


def _for_open(case: Case, damage: Damage) -> Iterator[Wanted]:
    """Covered closed and taped by day, moist under cover at night until a look finds it closed; nothing is filed."""
    sites = (damage.site,)
    split = damage.fact.kind == "split"
    balm = split and damage.stage == "closing" and holds.zone_of(damage.site) == "tip"
    moist_until = damage.fact.noticed_on + timedelta(days=MOIST_DAYS)
    ahead = [entry for entry in case.entries if entry.first_day > case.as_of]
    tries = [try_day(case, entry, damage) for entry in ahead if has_try(case, entry, damage)]
    for day in _days(case, damage):
        if day not in tries and not case.competes_on(day):
            yield Wanted(day, "day", "rest site", sites)
        for form in ("closed cover", "session tape") if split or day > moist_until else ("moist cover",):
            yield Wanted(day, "day", form, sites)
        yield Wanted(day, "night", "balm in split" if balm else "moist cover", sites)


def _for_closed(case: Case, damage: Damage) -> Iterator[Wanted]:
    """Closed by a look: the dead rim is thinned once, balm at night, tape before every session until it is
    sound.
    """
    sites = (damage.site,)
    if damage.stage == "rimmed":
        yield Wanted(case.as_of, "evening", "thin rim", sites)
    for day in _days(case, damage):
        yield Wanted(day, "day", "session tape", sites)
        yield Wanted(day, "night", "balm in split" if damage.fact.kind == "split" else "moist cover", sites)


def _for_pink(case: Case) -> Iterator[Wanted]:
    if case.pink is None:
        return
    for day in (case.pink.seen_on + ONE_DAY, case.pink.off_until):
        if day >= case.as_of and not case.competes_on(day):
            yield Wanted(day, "day", "rest day")


def _days(case: Case, damage: Damage) -> list[date]:
    """From today until the late end of healing, a week at the most; while open the whole week: only a look
    ends the cover.
    """
    ends = None if damage.is_open else damage.day_of("sound", "q80_d")
    last = case.as_of + timedelta(days=CARE_AHEAD_DAYS - 1)
    last = min(last, ends) if ends else last
    return [case.as_of + timedelta(days=n) for n in range((last - case.as_of).days + 1)]

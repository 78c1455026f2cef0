"""Why an entry is not on course: codes with numbers, a site and a date, worst first."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from coaching.rules import medical
from coaching.rules.conclusions import Number, Reason
from coaching.rules.holds import SITE_NOT_KNOWN
from coaching.rules.levels import bar_of
from coaching.rules.reasons_plan import plan_reasons
from coaching.rules.reasons_state import state_reasons
from coaching.rules.refusals import Verdict
from coaching.rules.weighed import FIRST, ORDER, Question, Weighed, frac


def reasons(q: Question, judged: tuple[Verdict, ...]) -> tuple[Reason, ...]:
    """Medical first, then what nobody knows, then damage in pain or open, then by what each costs.

    An entry that is not on course has at least one.
    """
    found = [*_medical(q), *state_reasons(q), *plan_reasons(q, judged)]
    if not found and q.level != "on-course":
        found = [_largest_part(q)]
    return tuple(one.reason for one in sorted(found, key=lambda one: one.sort_key))


def _medical(q: Question) -> Iterator[Weighed]:
    """Date: today; a grade of `ask` leaves until tomorrow. A flag has no site of its own: the open damage, or
    not known.
    """
    grade = q.case.medical
    if grade == "none":
        return
    flags = medical.flags_in_force(q.case.facts, q.as_of)
    sites = [one.site for one in q.case.damages if one.fact.worries] or [one.site for one in q.case.damages]
    day = q.as_of if medical.stops_climbing(grade) else q.as_of + timedelta(days=1)
    numbers: dict[str, Number] = {
        "grade": grade,
        "flags": len(flags),
        "first_flag": flags[0] if flags else None,
    }
    yield Weighed(
        Reason("medical", sites[0] if len(set(sites)) == 1 else SITE_NOT_KNOWN, day, numbers), rank=FIRST
    )


def _largest_part(q: Question) -> Weighed:
    """Nothing stands out: the part that weighs most, else how little is known of the reserve."""
    bar_frac = bar_of(q.case, q.entry)[0]
    parts = {code: part for code, part in q.numbers.parts.items() if code in ORDER and part > 0}
    code = max(parts, key=lambda name: parts[name], default="reserve")
    numbers: dict[str, Number] = {
        "effect": frac(parts.get(code, 0.0)),
        "p": frac(q.numbers.p),
        "low": frac(q.numbers.low),
        "bar": bar_frac,
        "sd": round(q.case.numbers.reserve_sd_pt, 1),
    }
    site = SITE_NOT_KNOWN if code in ("reserve", "pink", "glassy", "shedding", "split", "tear") else None
    return Weighed(
        Reason(code, site, q.act_by("rest-start", "rough-session-last"), numbers), parts.get(code, 0.0)
    )

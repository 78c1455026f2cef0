"""Reasons in the plan and in what is known: agent, toughening, load, lay-off, clash, air, silence,
disagreement, deadline.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from coaching.rules import disagreement, layoff, skin
from coaching.rules.conclusions import Deadline, Number, Reason
from coaching.rules.deadlines import ROUGH_SURFACES
from coaching.rules.event_needs import air_change, wants_toughening
from coaching.rules.holds import SITE_NOT_KNOWN
from coaching.rules.levels import slim
from coaching.rules.reasons_state import COUNTS_FRAC
from coaching.rules.refusals import Verdict
from coaching.rules.weighed import PENDING, UNKNOWN, Question, Weighed, frac

LAYOFF_EVENT_DAYS = 28
CLASH_DAYS = 7
HIGH_LOAD_PERCENTILE = 0.9


def plan_reasons(q: Question, judged: tuple[Verdict, ...]) -> Iterator[Weighed]:
    yield from _silence(q)
    yield from _disagreement(q)
    yield from _agent(q, judged)
    yield from _toughening(q)
    yield from _load(q)
    yield from _layoff(q)
    yield from _clash(q)
    yield from _air(q)
    yield from _deadline(q)


def _silence(q: Question) -> Iterator[Weighed]:
    days = skin.silent_days(q.case.facts, q.as_of)
    if not q.case.silent:
        return
    known = skin.known_until(q.case.facts, q.as_of)
    found: dict[str, Number] = {"days": days, "known_until": known.isoformat() if known else None}
    yield Weighed(Reason("silence", None, q.as_of, found), rank=UNKNOWN)


def _disagreement(q: Question) -> Iterator[Weighed]:
    """Date: the day of the look in person."""
    found = disagreement.disagreement(q.case.facts, q.as_of)
    if found is None:
        return
    numbers: dict[str, Number] = {
        "answers": found.answers,
        "since": found.since.isoformat(),
        "seen_on": found.seen_on.isoformat(),
        "sites": len(found.sites),
        "mark": found.mark,
    }
    day = disagreement.look_by(q.case.facts, q.as_of)
    yield Weighed(Reason("disagreement", found.sites[0], day, numbers), rank=UNKNOWN)


def _agent(q: Question, judged: tuple[Verdict, ...]) -> Iterator[Weighed]:
    """A planned agent that the rulebook refuses, an agent on dry skin, or a last use that was not kept."""
    refused = [one for one in judged if one.rule and one.rule.ingredient and one.classes]
    refused = [one for one in refused if one.row.day <= q.entry.last_day]
    kept = [one for one in q.deadlines if one.kind == "agent-stop" and one.state != "done"]
    in_use = q.case.agents_in_use()
    if refused:
        first = refused[0]
        rows = sum(1 for one in refused if one.row.form == first.row.form)
        numbers: dict[str, Number] = {"form": first.row.form, "class": first.classes[0], "rows": rows}
        numbers["planned_on"] = first.row.day.isoformat()
        late = first.classes[0] == "timing" and first.cause in ("first-use", "last-use")
        day = q.act_by("agent-first-use", "agent-start") if late else first.row.day
        yield Weighed(Reason("agent", None, min(day, first.row.day), numbers), q.part("agent"))
    elif in_use and q.case.kind == "dry":
        day = min((one.latest for one in kept), default=q.settle_by)
        yield Weighed(Reason("agent", None, day, {"form": in_use[0], "class": "skin-kind"}), q.part("agent"))
    elif any(one.state == "missed" for one in kept) or q.part("agent") >= COUNTS_FRAC:
        day = min((one.latest for one in kept), default=q.settle_by)
        yield Weighed(
            Reason(
                "agent", None, day, {"form": in_use[0] if in_use else None, "effect": frac(q.part("agent"))}
            ),
            q.part("agent"),
        )


def _toughening(q: Question) -> Iterator[Weighed]:
    starts = [one for one in q.deadlines if one.kind == "toughen-start" and one.state in ("due", "missed")]
    if not wants_toughening(q.entry) or not starts:
        return
    site = q.entry.needs_sites[0] if q.entry.needs_sites else SITE_NOT_KNOWN
    numbers: dict[str, Number] = {"days_left": starts[0].slack_days, "effect": frac(q.part("toughening"))}
    yield Weighed(Reason("toughening", site, starts[0].latest, numbers), q.part("toughening"))


def _load(q: Question) -> Iterator[Weighed]:
    """Rest would lift p, the last week was among the heaviest of the athlete's own, or rough rock is planned
    too late.
    """
    numbers = q.case.numbers
    effect = max(q.part("load"), q.numbers.p_rest - q.numbers.p)
    heavy = numbers.load_7d_percentile is not None and numbers.load_7d_percentile >= HIGH_LOAD_PERCENTILE
    late = _rough_too_late(q)
    if effect < COUNTS_FRAC and not late:
        return
    found: dict[str, Number] = {
        "effect": frac(effect),
        "load_7d": round(numbers.load_7d_slu, 2),
        "load_ahead_7d": round(numbers.load_ahead_7d_slu, 2),
        "unknown_days": numbers.load_7d_unknown_days,
        "heavy": heavy,
        "p_rest": frac(q.numbers.p_rest),
        "rough_on": late.isoformat() if late else None,
    }
    yield Weighed(Reason("load", None, q.act_by("rest-start", "rough-session-last"), found), max(0.0, effect))


def _rough_too_late(q: Question) -> date | None:
    last = next((one.latest for one in q.deadlines if one.kind == "rough-session-last"), None)
    if last is None:
        return None
    rough = [one for one in q.case.facts.sessions if one.planned and one.surface in ROUGH_SURFACES]
    days = [one.day for one in rough if max(last, q.as_of - timedelta(days=1)) < one.day < q.entry.first_day]
    return min(days, default=None)


def _layoff(q: Question) -> Iterator[Weighed]:
    """Two weeks or more away from climbing that are not long over, with the event inside four weeks."""
    found = layoff.latest(q.case.facts, q.as_of)
    near = (q.entry.first_day - q.as_of).days <= LAYOFF_EVENT_DAYS
    if found is None or not near:
        return
    numbers: dict[str, Number] = {
        "days": found.days,
        "back_on": found.back_on.isoformat() if found.back_on else None,
        "effect": frac(q.part("layoff")),
    }
    yield Weighed(Reason("layoff", None, q.act_by("rough-session-last"), numbers), q.part("layoff"))


def _clash(q: Question) -> Iterator[Weighed]:
    """Another event of the athlete that ends or begins within a week of this one. Date: the day entries
    close, or the event.
    """
    spans = [
        (one.first_day, one.last_day) for one in q.case.facts.entries if one.event_id != q.entry.event_id
    ]
    own = (q.entry.first_day, q.entry.last_day)
    gaps = [_gap_days(own, span) for span in (*spans, *q.case.facts.other_event_days) if span != own]
    near = [gap for gap in gaps if gap <= CLASH_DAYS]
    if not near:
        return
    closes = [one.latest for one in q.deadlines if one.kind == "entry" and one.state != "done"]
    day = min(closes, default=max(q.entry.first_day, q.as_of))
    yield Weighed(Reason("clash", None, day, {"days_apart": min(near), "events": len(near) + 1}))


def _gap_days(one: tuple[date, date], other: tuple[date, date]) -> int:
    """Days from the end of the earlier to the start of the later; 0 where they overlap."""
    return max(0, (max(one[0], other[0]) - min(one[1], other[1])).days)


def _air(q: Question) -> Iterator[Weighed]:
    change = air_change(q.case, q.entry)
    if not (change.damper or change.drier) and q.part("air") < COUNTS_FRAC:
        return
    numbers: dict[str, Number] = {
        "effect": frac(q.part("air")),
        "dew_point_difference_c": _tenth(change.difference_c),
        "venue_dew_point_c": _tenth(q.entry.air.venue_dew_point_c),
        "home_dew_point_c": _tenth(q.entry.air.home_dew_point_c),
        "venue_temp_c": _tenth(q.entry.air.venue_temp_c),
    }
    if q.entry.air.typical:
        numbers["typical"] = 1
    yield Weighed(Reason("air", None, _air_by(q, change.difference_c), numbers), q.part("air"))


def _air_by(q: Question, difference_c: float | None) -> date:
    """The rehearsal or the cream; else what an agent does about it: stopped for drier air or dry skin, else
    begun.
    """
    drier = difference_c is not None and difference_c < 0
    agent = ("agent-stop",) if drier or q.case.kind == "dry" else ("agent-start", "agent-first-use")
    return q.next_of("rehearsal-start", "soften-start") or q.act_by(*agent)


def _tenth(value: float | None) -> float | None:
    return None if value is None else round(value, 1)


def _deadline(q: Question) -> Iterator[Weighed]:
    """Deadlines whose loss would take p below the bar, and the day entries close when it is near and the
    level asks for it.
    """
    pressing = list(slim(q.case, q.entry, q.deadlines)) if q.level != "on-course" else []
    if q.level in ("act", "tight"):
        pressing += [one for one in q.deadlines if one.kind == "entry" and one.state in PENDING]
    for one in dict.fromkeys(pressing):
        yield Weighed(Reason("deadline", one.site, one.latest, _named(one)))


def _named(one: Deadline) -> dict[str, Number]:
    named: dict[str, Number] = {"kind": one.kind, "form": one.form, "days_left": one.slack_days, "state": one.state}
    return {**named, "at": one.at, "zone": one.zone}

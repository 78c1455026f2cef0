"""What an entry needs of the coach: on course, tight, act, out of reach; or not known. The first rule that
holds decides.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from coaching.rules.case import Case
from coaching.rules.conclusions import Deadline
from coaching.rules.damage import TRY_WORTH_FRAC
from coaching.rules.deadlines_damage import at_stake
from coaching.rules.facts import EntryFact
from coaching.rules.numbers import EntryNumbers

SLIM_DAYS = 1
UNDONE = frozenset({"open", "due", "missed"})
PENDING = frozenset({"open", "due"})
PART_OF_KIND = {
    "agent-first-use": "dampness",
    "agent-start": "dampness",
    "agent-stop": "agent",
    "soften-start": "dryness",
    "toughen-start": "toughening",
    "rehearsal-start": "air",
    "rest-start": "load",
    "rough-session-last": "load",
}


@dataclass(frozen=True)
class Cure:
    """Parts of p that care can give back while one of its deadlines is still ahead."""

    parts: tuple[str, ...]
    deadlines: tuple[str, ...]


CURES = (
    Cure(("dampness", "air"), ("agent-first-use", "agent-start", "rehearsal-start")),
    Cure(("dryness", "glassy", "hardness", "agent"), ("soften-start", "agent-stop", "even-last")),
    Cure(("toughening",), ("toughen-start",)),
)


def bar_of(case: Case, entry: EntryFact) -> tuple[float, bool]:
    """The bar, and whether it is provisional: the coach's own never is."""
    if entry.bar_frac is not None:
        return entry.bar_frac, False
    return case.facts.squad_bar_frac, case.facts.squad_bar_provisional


def level(case: Case, entry: EntryFact, deadlines: tuple[Deadline, ...]) -> str:
    """Level of one entry.

    Order: medical stop, silence, no way to the bar, p below the bar, the range or a deadline or pain below
    it, else on course. A value equal to the bar reaches it.
    """
    if case.medical_stop:
        return "out-of-reach"
    if case.silent:
        return "not-known"
    numbers, bar_frac = case.numbers_for(entry), bar_of(case, entry)[0]
    reachable = best_plan(case, entry, deadlines) >= bar_frac or _good_days_left(case, entry)
    if not reachable and not _answer_pending(case, entry, deadlines):
        return "out-of-reach"
    if numbers.p < bar_frac:
        return "act"
    if numbers.low < bar_frac or gated(case, entry) or slim(case, entry, deadlines):
        return "tight"
    return "on-course"


def _good_days_left(case: Case, entry: EntryFact) -> bool:
    """A trip that has begun: rest now, and at even odds a good day still comes."""
    good = case.numbers_for(entry).good_days
    return case.as_of >= entry.first_day and good is not None and good[1] >= 1


def gated(case: Case, entry: EntryFact) -> bool:
    """The pain gate, damage open when last seen that may not be sound by then, or pink tips that would not be
    back if they lost their rest: never on course.
    """
    still_open = any(one.stage == "open" for one in at_stake(case, entry))
    return still_open or any(one.gated for one in case.damages_for(entry)) or _pink_unsettled(case, entry)


def _pink_unsettled(case: Case, entry: EntryFact) -> bool:
    ahead = case.pink if case.as_of < entry.first_day else None
    if ahead is None:
        return False
    return case.numbers_for(entry).p * ahead.as_before_frac(entry.first_day) < bar_of(case, entry)[0]


def slim(case: Case, entry: EntryFact, deadlines: tuple[Deadline, ...]) -> tuple[Deadline, ...]:
    """Undone deadlines with a day or less to spare whose loss would take p below the bar."""
    bar_frac = bar_of(case, entry)[0]
    if case.numbers_for(entry).p < bar_frac:
        return ()
    return tuple(
        one
        for one in deadlines
        if one.state in UNDONE
        and one.slack_days <= SLIM_DAYS
        and not _asked_again(one, deadlines)
        and p_without(case, entry, one) < bar_frac
    )


def _asked_again(deadline: Deadline, deadlines: tuple[Deadline, ...]) -> bool:
    """A look that a later look on the same site makes good."""
    return deadline.kind == "look" and any(
        one.kind == "look" and one.site == deadline.site and one.latest > deadline.latest for one in deadlines
    )


def p_without(case: Case, entry: EntryFact, deadline: Deadline) -> float:
    """Readiness if that deadline is lost. Without its look or taped try damage must be sound, tape allows
    nothing.
    """
    numbers = case.numbers_for(entry)
    left = _p_still_pink(case, entry, deadline)
    if deadline.kind in ("look", "taped-try"):
        sound = [_p_sound(case, entry, deadline.site)] if deadline.site else []
        return min([left, *sound])
    return min(left, numbers.p - abs(numbers.parts.get(PART_OF_KIND.get(deadline.kind, ""), 0.0)))


def _p_still_pink(case: Case, entry: EntryFact, deadline: Deadline) -> float:
    """Readiness if the tips lose their rest, or nobody looks, and they are pink again on the day of the look.
    """
    p, pink = case.numbers_for(entry).p, case.pink
    if pink is None or deadline.site not in pink.sites or deadline.kind not in ("rest-start", "look"):
        return p
    return p * pink.as_before_frac(entry.first_day)


def _p_sound(case: Case, entry: EntryFact, site: str | None) -> float:
    day: date = entry.first_day
    return min((one.p_sound(day) for one in case.damages_for(entry) if one.site == site), default=1.0)


def best_plan(case: Case, entry: EntryFact, deadlines: tuple[Deadline, ...]) -> float:
    """The most that some plan may still reach, on the generous side: only what nothing reaches is out of
    reach.

    The plan as it stands or rest until then, with what care that can still begin in time may give back; or a
    taped start, where damage is what stands in the way.
    """
    numbers = case.numbers_for(entry)
    pending = {one.kind for one in deadlines if one.state in PENDING}
    gained = sum(_gain(numbers, cure, pending) for cure in CURES)
    reached = min(1.0, max(numbers.p, numbers.p_rest) + gained)
    return max(reached, numbers.p_protected) if case.damages_for(entry) else reached


def _gain(numbers: EntryNumbers, cure: Cure, pending: set[str]) -> float:
    """The largest of the parts that one kind of care works on: they are one trouble seen from several sides.
    """
    if not pending.intersection(cure.deadlines):
        return 0.0
    return max(0.0, *(numbers.parts.get(part, 0.0) for part in cure.parts))


def _answer_pending(case: Case, entry: EntryFact, deadlines: tuple[Deadline, ...]) -> bool:
    """A look or a taped try still to come that could allow a protected start."""
    pending = any(one.kind in ("look", "taped-try") and one.state in PENDING for one in deadlines)
    if not pending:
        return False
    damaged = bool(case.damages_for(entry))
    return case.numbers_for(entry).p_protected >= TRY_WORTH_FRAC if damaged else case.pink is not None

"""What an athlete may try on themselves: one change, one outcome chosen beforehand, and how long it takes."""

from __future__ import annotations

from dataclasses import dataclass

from coaching.rules.rulebook import FormRule, Rulebook
from coaching.science.quantities import Parameters
from coaching.science.trial_doses import times
from coaching.science.trial_orders import MOST_PAIRS
from coaching.science.trial_reading import Dosing

OUTCOMES = ("dampness", "sting", "limited", "loss")
"""Chosen before the draw: dampness and sting as rated; share of sessions that skin limited; reserve lost for each
unit of load.
"""
OF_ONE_HAND = frozenset({"dampness", "sting"})
"""A session is climbed on both hands, so that these alone can be told of each."""
READ_DAYS = {"dampness": 5, "sting": 5, "limited": 7, "loss": 7}
ANSWERS_A_BLOCK = {"dampness": 5, "sting": 5, "limited": 4}
"""Whole numbers, or yes and no, of which a block has so many; reserve lost for a load is a ratio and has no steps."""
PRIOR_SD = {"dampness": 1.0, "sting": 1.0, "limited": 0.3, "loss": 0.5}
"""Scatter of the difference of two blocks before anything of the athlete's own is known (judgement; of dampness as the
model's own day-to-day noise has it).
"""
HANDS_SD = {"dampness": 1.0, "sting": 1.0}
"""The same of two hands on the same days: a day's mood falls away, but hands differ by themselves (judgement)."""
AGENTS = frozenset({"methenamine spray", "methenamine liquid", "methenamine cream", "aluminium salt"})
CREAMS = frozenset({"water-based cream", "humectant cream", "oil-based cream", "wax balm"})
FILES = frozenset({"sand", "level callus"})
CHALKS = frozenset({"fine chalk", "coarse chalk"})
FORMS = (*sorted(AGENTS), *sorted(CREAMS), *sorted(FILES), *sorted(CHALKS))
"""Iontophoresis is not among them: its onset of weeks makes six pairs longer than a season."""
HIDEABLE = frozenset({"methenamine spray", "methenamine liquid", "aluminium salt"})
"""Clear and without feel: a like bottle without the agent cannot be told from it. Creams and files can be felt."""
PAIRS = (6, 7, 8, 10, MOST_PAIRS)
EVERY = {"sand": 3, "level callus": 4}
DOSE = {"weak": 0.25, "medium": 0.375, "strong": 0.5}
"""One use a night of the two that make a full day."""


@dataclass(frozen=True)
class Ask:
    """A trial as the athlete asks for it."""

    form: str
    outcome: str
    lower_is_better: bool
    hands: bool
    hidden: bool
    pairs: int
    strength: str | None = None


def outcomes_of(form: str) -> tuple[str, ...]:
    """Outcomes that the form can be asked about, the usual one first."""
    if form in AGENTS:
        return ("dampness", "limited", "sting")
    if form in CREAMS:
        return ("sting", "dampness", "limited", "loss")
    return ("loss", "limited", "sting") if form in FILES else ("limited", "dampness", "loss")


def wrong(ask: Ask) -> str:
    """Why the question cannot be asked at all; empty where it can: form, outcome, hands, hidden or pairs."""
    if ask.form not in FORMS:
        return "form"
    if ask.outcome not in outcomes_of(ask.form):
        return "outcome"
    if ask.hands and (ask.outcome not in OF_ONE_HAND or ask.form in CHALKS):
        return "hands"
    if ask.hidden and (ask.form not in HIDEABLE or ask.hands):  # two bottles a night, one a hand, get mixed up
        return "hidden"
    return "" if ask.pairs in PAIRS else "pairs"


def dosing(ask: Ask, book: Rulebook, p: Parameters) -> Dosing:
    """How the change is used; of agents the amount of one evening."""
    rule = book.forms[ask.form]
    amount = DOSE[ask.strength or "medium"] if rule.ingredient else 1.0
    return Dosing(rule.ingredient, amount, EVERY.get(ask.form, 1), times(rule.ingredient, rule.carry_over_days, p)[1])


def skip_days(rule: FormRule, p: Parameters) -> int:
    """Days of a block that are not read: until half has come on, or a third is left of what was."""
    onset, washout = times(rule.ingredient, rule.carry_over_days, p)
    return max(1, round(max(onset, washout)))


def grain(outcome: str) -> float:
    """The step in which the mean of a block moves, in the outcome's unit."""
    return 1.0 / ANSWERS_A_BLOCK[outcome] if outcome in ANSWERS_A_BLOCK else 0.0


def needs_patch(form: str, borne: bool) -> bool:
    """Whatever stays on the skin and is new to it is tried on a small spot first."""
    return form in AGENTS | CREAMS and not borne

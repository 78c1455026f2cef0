"""What may be said of a trial: it works for me, it does not, or it cannot be told yet, and then what would tell."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

from coaching.rules.trial_questions import grain
from coaching.science.trial_exact import LEAST_PAIRS
from coaching.science.trial_orders import MOST_PAIRS
from coaching.science.trial_power import Exposure, detectable
from coaching.science.trial_reading import Reading

WORKS, WORSE, NOT, OPEN = "works", "worse", "does-not", "cannot-tell"
LEAST_CONTRAST = 0.3
"""Arms that differed by less of the planned exposure were no comparison (judgement)."""
LINGERS = 0.35
"""So much of the change left in the usual blocks is said beside every result (judgement)."""
WORTH = {"dampness": 1.0, "sting": 1.0, "limited": 0.2, "loss": 0.3}
"""Least effect that would change what a climber does: points of a rating, share of sessions, points of reserve for each
unit of load (judgement).
"""


@dataclass(frozen=True)
class Verdict:
    """`code` with the cause where it is open: pairs, doses, contrast or scatter. `more_pairs` would tell, None where
    none within reach would.
    """

    code: str
    cause: str = ""
    more_pairs: int | None = None
    lingers: bool = False


def tells(reading: Reading) -> bool:
    """Whether there are pairs and contrast enough for any word."""
    return bool(reading.found and reading.found.pairs >= LEAST_PAIRS and reading.contrast >= LEAST_CONTRAST)


def verdict(reading: Reading, outcome: str, lower_is_better: bool, pair_sd: float) -> Verdict:
    """The first that holds: too few pairs, no contrast, a claim, no worthwhile effect left, or open.

    A claim needs six pairs and an exact p of one in twenty or less, in either direction.
    """
    found = reading.found
    whole = found.pairs if found else 0
    if found is None or whole < LEAST_PAIRS:
        return Verdict(OPEN, "pairs", LEAST_PAIRS - whole)
    lingers = reading.lingering > LINGERS
    if not reading.contrast >= LEAST_CONTRAST:
        return Verdict(OPEN, "doses" if reading.taken_frac < 0.6 else "contrast", None, lingers)
    gain = -found.effect if lower_is_better else found.effect
    most = -found.low if lower_is_better else found.high
    if found.may_claim:
        return Verdict(WORKS if gain > 0 else WORSE, lingers=lingers)
    if isfinite(most) and most < WORTH[outcome]:
        return Verdict(NOT, lingers=lingers)
    return Verdict(OPEN, "scatter", _more(reading, outcome, pair_sd, whole), lingers)


def _more(reading: Reading, outcome: str, pair_sd: float, whole: int) -> int | None:
    """Pairs to add until an effect as large as is believed, or just worth it, would show in four of five trials."""
    wanted, planned = max(WORTH[outcome], abs(reading.mean)), Exposure(mean=(reading.contrast,), grain=grain(outcome))
    for pairs in range(whole + 1, MOST_PAIRS + 1):
        if detectable(pairs, pair_sd, planned) <= wanted:
            return pairs - whole
    return None

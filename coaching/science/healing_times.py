"""How long damage takes: two stages and the time until usable taped, by kind, place and depth, in days."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from coaching.science.inputs import KINDS, PLACES, Floats, Ints
from coaching.science.quantities import Parameters

PACES = 5
LEVELS = PACES + 2

TIME_COLUMNS: tuple[str, ...] = (
    "closes_median_d",
    "closes_log_sd",
    "grows_median_d",
    "grows_log_sd",
    "usable_median_d",
    "usable_log_sd",
)
"""Closes: until the deep layer is closed. Grows: from there until sound. Usable: from injury to usable taped.

The log sds are those of one injury; the athlete's own pace, shared by all three, comes on top. Medians and
spreads are set so that the 10-90 % points of the total, and of usable, fall on the trade's working ranges
(common practice, no source), which stand behind each row: usable taped / as before.
"""

_SHALLOW_PAD = (0.3, 0.8, 4.8, 0.42, 2.83, 0.18)  # 2-4 / 3-10
_DEEP_PAD = (4.0, 0.45, 8.0, 0.50, 5.66, 0.18)  # 4-8 (judgement) / 7-21
_SHALLOW_CREASE = (0.3, 0.8, 7.8, 0.41, 2.83, 0.18)  # 2-4 / 5-16
_DEEP_CREASE = (5.8, 0.20, 13.3, 0.22, 5.30, 0.09)  # 4-7 / 14-28
_FLAPPER = (1.2, 0.38, 4.4, 0.21, 1.73, 0.38)  # 1-3 / 4-8
_TEAR = (2.0, 0.18, 5.0, 0.22, 2.83, 0.18)  # 2-4 / 5-10 (judgement: between a flapper and a holed tip)
_BLISTER = (2.0, 0.18, 5.0, 0.22, 2.83, 0.18)  # 2-4 / 5-10
_GRAZE = (3.2, 0.26, 6.6, 0.24, 4.58, 0.26)  # 3-7 / 7-14
_HOLED = (2.7, 0.10, 4.4, 0.25, 3.87, 0.05)  # 3-5 / 5-10
_PINK = (0.3, 0.5, 2.75, 0.31, 1.41, 0.18)  # 1-2 / 2-5
_SHALLOW_CUT = (0.3, 0.8, 8.0, 0.35, 2.75, 0.16)  # 2-4 / 5-14 (judgement: as a shallow split)
_DEEP_CUT = (5.5, 0.22, 9.0, 0.25, 7.07, 0.18)  # 5-10 / 10-21 (judgement)

_BY_KIND: dict[str, tuple[tuple[float, ...], tuple[float, ...]]] = {
    "flapper": (_FLAPPER, _FLAPPER),
    "tear": (_TEAR, _TEAR),
    "blister": (_BLISTER, _BLISTER),
    "cut": (_SHALLOW_CUT, _DEEP_CUT),
    "graze": (_GRAZE, _GRAZE),
    "holed": (_HOLED, _HOLED),
    "pink": (_PINK, _PINK),
}


def _row(kind: str, place: str) -> tuple[tuple[float, ...], tuple[float, ...]]:
    if kind != "split":
        return _BY_KIND[kind]
    return (_SHALLOW_CREASE, _DEEP_CREASE) if place == "crease" else (_SHALLOW_PAD, _DEEP_PAD)


TIMES: Floats = np.array([[_row(kind, place) for place in PLACES] for kind in KINDS])
"""(kind, place, shallow or deep, TIME_COLUMNS)."""


CLASSES: tuple[str, ...] = (
    "split_shallow_pad",
    "split_deep_pad",
    "split_shallow_crease",
    "split_deep_crease",
    "flapper",
    "tear",
    "blister",
    "cut_shallow",
    "cut_deep",
    "graze",
    "holed",
)
"""Kinds of damage whose times a squad learns apart; pink tips are worn skin and stay with their row."""

NO_CLASS = len(CLASSES)


def _class(kind: str, place: str, deep: int) -> int:
    depth = ("shallow", "deep")[deep]
    names = (kind, f"{kind}_{depth}", f"{kind}_{depth}_{'crease' if place == 'crease' else 'pad'}")
    return next((CLASSES.index(name) for name in names if name in CLASSES), NO_CLASS)


CLASS_OF: Ints = np.array([[[_class(kind, place, deep) for deep in (0, 1)] for place in PLACES] for kind in KINDS])
"""(kind, place, shallow or deep): index into CLASSES."""


class Damaged(Protocol):
    """Damage as far as its times depend on it; `Episodes` and `Finished` are."""

    @property
    def athlete(self) -> Ints: ...
    @property
    def kind(self) -> Ints: ...
    @property
    def place(self) -> Ints: ...
    @property
    def deep(self) -> Floats: ...
    @property
    def balm_share(self) -> Floats: ...
    @property
    def reopened(self) -> Ints: ...


@dataclass(frozen=True)
class Stretch:
    """A log-normal time that begins `from_d` after the injury; all arrays (depth, pace, E)."""

    from_d: Floats
    median_d: Floats
    log_sd: Floats


def deep_share(episodes: Damaged, p: Parameters) -> Floats:
    """Return how sure it is, before any look, that damage is deep.

    Parameters: episodes; p.
    Returns: (E,), 0-1.
    Raises: nothing.
    Assumes: a recorded depth is right but for a small share recorded too shallow.
    Source: judgement; tests/property/test_healing_order.py.
    """
    unknown = np.where(
        episodes.place == PLACES.index("crease"), p["healing_deep_share_crease"], p["healing_deep_share_pad"]
    )
    recorded = np.where(episodes.deep > 0.5, 1.0, p["healing_deep_misread_share"])
    return np.where(np.isnan(episodes.deep), unknown, recorded)


def levels(p: Parameters) -> tuple[Floats, Floats]:
    """Return factors of all times, fast to slow, and how likely each is before any look.

    Parameters: p.
    Returns: factors (LEVELS,) and weights (LEVELS, 1): recorded as far worse than it is, the athlete's paces,
        recorded as far better than it is.
    Raises: nothing.
    Assumes: records err to both sides alike.
    Source: judgement; tests/property/test_healing_order.py.
    """
    off, share = p["healing_misread_factor"], p["healing_misread_share"]
    factors = np.concatenate([[1.0 / off], pace_factors(PACES, p), [off]])
    weights = np.concatenate([[share], np.full(PACES, (1.0 - 2.0 * share) / PACES), [share]])
    return factors, weights[:, None]


def pace_factors(levels: int, p: Parameters) -> Floats:
    """Return equally likely factors of an athlete's healing pace, fast to slow.

    Parameters: levels (count); p.
    Returns: (levels,), 1.
    Raises: nothing.
    Assumes: log-normal pace.
    Source: assumption; tests/reference/test_healing_ranges.py.
    """
    from coaching.science.normal import quantile

    middles = (np.arange(levels) + 0.5) / levels
    z = quantile(middles)
    z = z / np.sqrt((z**2).mean())  # a few points keep the spread of the whole
    return np.asarray(np.exp(p["healing_pace_log_sd"] * z))


def cover_factor(balm_share: Floats, p: Parameters) -> Floats:
    """Return how much longer damage takes for want of balm and cover at night.

    Parameters: balm_share (E,), 0-1, NaN not known; p.
    Returns: (E,), 1.
    Raises: nothing.
    Assumes: the trade's ranges stand for a usual share of covered nights.
    Source: Vogt et al. 1995 (closed on day 6 wet, 7 moist, 8 dry; porcine);
        tests/property/test_healing_order.py.
    """
    usual = p["healing_cover_usual_share"]
    share = np.where(np.isnan(balm_share), usual, balm_share)
    return np.asarray(p["healing_uncovered_factor"] ** (usual - share))


def class_factors(damage: Damaged, p: Parameters) -> Floats:
    """Return by how much the squad's times are longer than the trade's.

    Parameters: damage (E); p.
    Returns: (2, E), 1, shallow first; 1 throughout where nothing was learned.
    Raises: nothing.
    Assumes: pink tips are as the trade has them.
    Source: assumption, learned from the squad's looks; tests/unit/test_fitting_healing.py.
    """
    common = p["healing_time_factor"]
    table = np.array([*(common * p[f"healing_factor_{name}"] for name in CLASSES), 1.0])
    return np.moveaxis(table[CLASS_OF[damage.kind, damage.place]], -1, 0)


def stretches(episodes: Damaged, paces: Floats, p: Parameters) -> tuple[Stretch, Stretch, Stretch]:
    """Return the times until closed, from closed to sound, and until usable taped.

    Parameters: episodes; paces (levels,); p.
    Returns: three Stretch, arrays (2, levels, E), shallow first.
    Raises: nothing.
    Assumes: pace and cover act on all three alike; what has opened again closes as deep damage does.
    Source: common practice, no source (working ranges); tests/reference/test_healing_ranges.py.
    """
    rows = np.moveaxis(TIMES[episodes.kind, episodes.place], 1, 0)[:, None]  # (2, 1, E, columns)
    factor = paces[None, :, None] * cover_factor(episodes.balm_share, p) * class_factors(episodes, p)[:, None]
    early = np.array([p["healing_closes_factor_shallow"], p["healing_closes_factor_deep"]])[:, None, None]
    deep_crease = np.where(CLASS_OF[episodes.kind, episodes.place].T == CLASSES.index("split_deep_crease"), 1.0, 0.0)
    spread = p["healing_spread_factor"] * p["healing_spread_deep_crease_factor"] ** deep_crease[:, None]
    shape = (2, paces.shape[0], episodes.athlete.shape[0])

    def pick(column: int, scale: Floats) -> Stretch:
        log_sd = np.broadcast_to(rows[..., column + 1] * spread, shape)
        return Stretch(np.zeros(shape), rows[..., column] * scale, log_sd)

    closes = pick(0, factor * early)
    if p["healing_own_history"] > 0.0:
        again = episodes.reopened > 0
        closes = Stretch(closes.from_d, *(np.where(again, v[1:], v) for v in (closes.median_d, closes.log_sd)))
    return closes, pick(2, factor), pick(4, factor)

"""The same case under other plans: loads cut, agents, creams and filings added, from one state and under one spread."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from coaching.science import reserve, skin
from coaching.science.entry_case import Case, least
from coaching.science.helping import care_means, doses
from coaching.science.inputs import Floats, Ints
from coaching.science.nodes import node_mean, node_quantiles
from coaching.science.readiness import at_nodes


@dataclass(frozen=True)
class Edits:
    """What each of M rows changes of the plan at hand, by column of the course; nothing changes up to the origin."""

    load_share: Floats  # (M, T) 0-1 share of the load that is left
    dose: Floats  # (M, T, I) 0-1 dose that the day has at least
    moist: Floats  # (M, T) 0-1 cream more than at hand
    filed: Floats  # (M, T) 0-1 filing more than at hand

    def rows(self, rows: Ints) -> Edits:
        """Some rows, in that order, repeated where asked."""
        return Edits(self.load_share[rows], self.dose[rows], self.moist[rows], self.filed[rows])


@dataclass(frozen=True)
class Edited:
    """Readiness of M rows, and how far each lies from the row that it is compared with."""

    p: Floats  # (M,) 0-1
    low: Floats  # (M,) 10 % of that chance over today's state and the personal parameters
    high: Floats  # (M,) 90 %
    gain: Floats  # (M,) change of p against the other row
    gain_low: Floats  # (M,) 10 % of that change
    gain_high: Floats  # (M,) 90 %


def no_edits(rows: int, days: int, ingredients: int) -> Edits:
    """Return edits that change nothing.

    Parameters: rows (M); days (T); ingredients (I).
    Returns: Edits, whose arrays may be written to.
    Raises: nothing.
    Assumes: nothing.
    Source: bookkeeping; tests/unit/test_edited.py.
    """
    shape = (rows, days)
    return Edits(np.ones(shape), np.zeros((*shape, ingredients)), np.zeros(shape), np.zeros(shape))


def edited_means(c: Case, edits: Edits) -> dict[str, Floats]:
    """Return the mean state of each row under its edits.

    Parameters: c (M rows); edits (M rows).
    Returns: means by name of the panel's field, (M, D) pt.
    Raises: ValueError where rows differ in number.
    Assumes: spread as under the plan at hand, so that no plan looks better by being less certain.
    Source: as the forward runs of reserve, dampness and hardness; tests/unit/test_edited.py.
    """
    rows = c.frame.athlete
    if edits.load_share.shape[0] != rows.shape[0]:
        raise ValueError("one edit for each row")
    ahead = np.arange(c.course.days) > c.state.origin
    track, drive = skin.reserve_rows(c.state, rows)
    filed = np.where(ahead, edits.filed, 0.0).T
    load = drive.load_slu * np.where(ahead, edits.load_share, 1.0).T
    moved = replace(drive, load_slu=load, filed=drive.filed + filed)
    means = reserve.forward_means(track, moved, c.state.origin, np.zeros(rows.shape[0]), c.p)
    dose = np.where(ahead[None, :, None], np.maximum(doses(c), edits.dose), doses(c))
    care = care_means(c, dose, np.where(ahead, edits.moist, 0.0).T, filed)
    return {"reserve_pt": np.ascontiguousarray(means[c.frame.day, np.arange(rows.shape[0])[:, None]]), **care}


def edited_chance(c: Case, edits: Edits, against: Ints) -> Edited:
    """Return readiness of each row under its edits, by the whole model.

    Parameters: c (M rows); edits (M rows); against (M,), the row that each is compared with.
    Returns: Edited.
    Raises: ValueError where rows differ in number.
    Assumes: as `edited_means`; the change is read on the day on which the other row's readiness is read.
    Source: definition of readiness (glossary); tests/unit/test_edited.py.
    """
    nodes = at_nodes(c.panel.with_means(**edited_means(c, edits)), c.damage(), c.p)
    p, at = least(node_mean(nodes), c.frame.within, c.frame.trip)
    row = np.arange(p.shape[0])
    low, high = node_quantiles(nodes[:, row, at], (0.1, 0.9))
    gain = p - p[against]
    ends = node_quantiles(nodes[:, row, at[against]] - nodes[:, against, at[against]], (0.1, 0.9))
    return Edited(
        p, np.minimum(low, p), np.maximum(high, p), gain, np.minimum(ends[0], gain), np.maximum(ends[1], gain)
    )

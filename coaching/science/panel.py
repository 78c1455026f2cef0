"""What readiness reads of the tracks: means, what is not known of them and noise, by row and day."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from coaching.science.dampness import DampnessTrack
from coaching.science.hardness import HardnessTrack
from coaching.science.inputs import Floats, Ints
from coaching.science.nodes import NODES
from coaching.science.quantities import Parameters
from coaching.science.reserve import ReserveTrack

BY_NODE = frozenset({"shift_logit", "reserve_shift_pt", "damp_shift_pt"})


@dataclass(frozen=True)
class Panel:
    """States on R rows (athletes or entries) and D days, as far as readiness reads them; (R, D) each."""

    reserve_pt: Floats
    reserve_known_var: Floats
    reserve_noise_var: Floats
    dampness_pt: Floats
    dampness_known_var: Floats
    dampness_noise_var: Floats
    hardness_pt: Floats
    hardness_var: Floats
    shift_logit: Floats  # (COUNT, R) personal shift of the odds at each node
    reserve_shift_pt: Floats | None = None  # (COUNT, R) of the limits at each node; None where not learned apart
    damp_shift_pt: Floats | None = None

    def rows(self, rows: slice) -> Panel:
        """The same panel for some rows."""
        return self._with(lambda value: value[rows], lambda value: value[:, rows])

    def columns(self, days: slice | Ints) -> Panel:
        """The same panel for some days."""
        return self._with(lambda value: value[:, days], lambda value: value)

    def picked(self, rows: Ints, days: Ints) -> Panel:
        """Some days of some rows: rows (M,), days (M, D)."""
        return self._with(
            lambda value: np.ascontiguousarray(value[rows[:, None], days]),
            lambda value: np.ascontiguousarray(value[:, rows]),
        )

    def with_means(self, **means: Floats) -> Panel:
        """The same spread around other means."""
        return replace(self, **means)

    def limits(self, node: int) -> tuple[Floats | float, Floats | float]:
        """Shifts of the limits of reserve and dampness at a node, (R, 1)."""
        if self.reserve_shift_pt is None or self.damp_shift_pt is None:
            return 0.0, 0.0
        return self.reserve_shift_pt[node][:, None], self.damp_shift_pt[node][:, None]

    def _with(self, by_day: Callable[[Floats], Floats], by_node: Callable[[Floats], Floats]) -> Panel:
        changed = {
            name: by_node(value) if name in BY_NODE else by_day(value)
            for name, value in vars(self).items()
            if value is not None
        }
        return Panel(**changed)


@dataclass(frozen=True)
class Spreads:
    """Standard deviations that are the same at every node, so that they are worked out once; (R, D) each, pt."""

    reserve_noise: Floats
    reserve_known: Floats
    dampness_noise: Floats
    dampness_known: Floats
    upper: Floats
    dry: Floats

    @staticmethod
    def of(panel: Panel, p: Parameters) -> Spreads:
        """Spreads of a panel, those of the day of a session and of the limits among them."""
        day = panel.dampness_noise_var + p["session_dampness_sd_pt"] ** 2
        return Spreads(
            reserve_noise=np.sqrt(panel.reserve_noise_var + p["session_reserve_sd_pt"] ** 2),
            reserve_known=np.sqrt(panel.reserve_known_var + p.spread("enough_reserve_pt") ** 2),
            dampness_noise=np.sqrt(day),
            dampness_known=np.sqrt(panel.dampness_known_var),
            upper=np.sqrt(panel.dampness_known_var + p.spread("too_damp_pt") ** 2),
            dry=np.sqrt(day + p.spread("too_dry_pt") ** 2),
        )


def spread_ahead(days: int, origin: int, p: Parameters) -> Floats:
    """Return the factor by which forecast variances are widened.

    Parameters: days (count); origin (column); p.
    Returns: (T,), 1 up to the origin.
    Raises: nothing.
    Assumes: a new squad; grows evenly to 7 and to 14 days, then stays.
    Source: assumption: coverage of 80 % ranges in a simulated squad; tests/property/test_silence.py.
    """
    ahead = np.maximum(np.arange(days) - origin, 0).astype(np.float64)
    return np.interp(ahead, [0.0, 7.0, 14.0], [1.0, p["inflation_7d"], p["inflation_14d"]])


def widened(track: ReserveTrack | DampnessTrack, origin: int, p: Parameters) -> tuple[Floats, Floats]:
    """Return known and noise variance ahead, widened and never narrowing with the days.

    Parameters: track; origin (column); p.
    Returns: two arrays (T, N), pt2.
    Raises: nothing.
    Assumes: a plan teaches nothing: without a look, later days are never known better than earlier ones.
    Source: judgement; tests/property/test_silence.py.
    """
    factor = spread_ahead(track.mean_pt.shape[0], origin, p)[:, None]
    known, noise = factor * track.known_var, factor * track.noise_var
    known[origin:] = np.maximum.accumulate(known[origin:], axis=0)
    noise[origin:] = np.maximum.accumulate(noise[origin:], axis=0)
    return known, noise


def tracks_panel(
    tracks: tuple[ReserveTrack, DampnessTrack, HardnessTrack], origin: int, p: Parameters
) -> Panel:
    """Return the panel of a whole course, with the prior's shift left at nil.

    Parameters: tracks; origin (column); p.
    Returns: Panel, rows the athletes, days the course.
    Raises: nothing.
    Assumes: nothing.
    Source: as `widened`; tests/property/test_silence.py.
    """
    reserve, dampness, hardness = tracks
    reserve_known, reserve_noise = widened(reserve, origin, p)
    dampness_known, dampness_noise = widened(dampness, origin, p)
    shift = np.zeros((NODES.shift_u.shape[0], reserve.mean_pt.shape[1]))
    return Panel(
        reserve_pt=rows_first(reserve.mean_pt),
        reserve_known_var=rows_first(reserve_known),
        reserve_noise_var=rows_first(reserve_noise),
        dampness_pt=rows_first(dampness.mean_pt),
        dampness_known_var=rows_first(dampness_known),
        dampness_noise_var=rows_first(dampness_noise),
        hardness_pt=rows_first(hardness.mean_pt),
        hardness_var=rows_first(hardness.var),
        shift_logit=shift,
    )


def rows_first(by_day: Floats) -> Floats:
    """Return (T, N) as (N, T).

    Parameters: by_day (T, N).
    Returns: (N, T).
    Raises: nothing.
    Assumes: nothing.
    Source: bookkeeping; tests/property/test_batches.py.
    """
    return np.ascontiguousarray(by_day.T)

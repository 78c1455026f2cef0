"""Windows of a day: runs of hours alike in sun, wind and rock, ranked by the time that fingers need between tries.

The rank is a number of seconds, made to put windows in order and for nothing else. It is no friction.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from coaching.science.air.air_quantities import chosen
from coaching.science.air.day import Hours
from coaching.science.inputs import Bools, Floats, Ints

LEAST_SESSIONS = 10
"""Before so many of one's own sessions with air, physics comes first."""
LEAST_ALIKE = 3
COLD_C, MILD_C = 10.0, 15.0
"""Judgement: in air warmer than the first a finger with blood in it seldom turns clumsy, over the second never."""
DRY_ROCK, DOUBTFUL_ROCK, WET_ROCK, UNKNOWN_ROCK = 0, 1, 2, -1
OFF_LAND, ALONG, OFF_SEA, NO_COAST = 0, 1, 2, -1


class Alike(NamedTuple):
    """Past sessions in air like that of each hour, (H,): those not limited by skin, and all of them."""

    good: Ints
    all: Ints


@dataclass(frozen=True)
class PastAir:
    """S past sessions: their air, and whether skin did not limit them."""

    temp_c: Floats  # (S,)
    dew_c: Floats  # (S,)
    good: Bools  # (S,)


@dataclass(frozen=True)
class Setting:
    """What the hours are beside the air, each (H,)."""

    light: Bools  # the sun is up, or lamps burn
    sun_frac: Floats  # of the hour on the face, NaN not known
    temp_c: Floats
    sea: Ints  # of this module
    rain: Bools


@dataclass(frozen=True)
class Window:
    """Hours from `first` to before `last`, alike throughout. `rank_s` orders windows, lower first."""

    first: int
    last: int
    sunny: bool
    sea: int
    rock: int
    rank_s: float
    own: tuple[int, int]  # good and all sessions in like air; (0, 0) where too few
    squad: tuple[int, int]


def rock_state(hours: Hours) -> Ints:
    """Return whether rock gathers water in each hour.

    Parameters: hours.
    Returns: (H,), DRY_ROCK, DOUBTFUL_ROCK, WET_ROCK or UNKNOWN_ROCK.
    Raises: nothing.
    Assumes: as `rock_margin_k`; doubt is where thin and thick rock, or the ends of the air, disagree.
    Source: sign of the margin at both ends; tests/unit/test_air_ranks.py.
    """
    low, high = hours.rock
    unknown = np.isnan(low) | np.isnan(high)
    found = np.select([unknown, high < 0, low < 0], [UNKNOWN_ROCK, WET_ROCK, DOUBTFUL_ROCK], default=DRY_ROCK)
    return found.astype(np.int64)


def sea_wind(onshore_m_s: Floats, speed_m_s: Floats) -> Ints:
    """Return where the wind of each hour comes from at a coast.

    Parameters: onshore_m_s (H,), m/s, NaN where there is no coast or no wind known; speed_m_s (H,).
    Returns: (H,), OFF_LAND, ALONG, OFF_SEA or NO_COAST; along within 30 degrees of the shore line.
    Raises: nothing.
    Assumes: a straight coast.
    Source: judgement: half of the wind's speed on the shore tells land from sea; tests/unit/test_air_day.py.
    """
    share = onshore_m_s / np.where(speed_m_s > 0, speed_m_s, np.nan)
    found = np.select([np.isnan(share), share > 0.5, share < -0.5], [NO_COAST, OFF_SEA, OFF_LAND], default=ALONG)
    return found.astype(np.int64)


def alike(temp_c: Floats, dew_c: Floats, past: PastAir) -> Alike:
    """Return how past sessions went in air like that of each hour.

    Parameters: temp_c, dew_c (H,), C; past.
    Returns: Alike, (H,); nought where the hour is not known.
    Raises: nothing.
    Assumes: air is alike within 3 K of dew point and 6 K of temperature.
    Source: judgement, register of the air model; tests/unit/test_air_day.py.
    """
    near = np.abs(dew_c[:, None] - past.dew_c) <= chosen("alike_dew_k")
    near &= np.abs(temp_c[:, None] - past.temp_c) <= chosen("alike_temp_k")
    return Alike((near & past.good).sum(axis=1), near.sum(axis=1))


def chill_frac(clumsy_s: Floats) -> Floats:
    """Return how much the cold of an hour speaks against it, from how soon a bare finger may turn clumsy.

    Parameters: clumsy_s (H,), s, a lower bound; infinite where the air never makes it so.
    Returns: (H,), 1 within a minute, 0 from three minutes on.
    Raises: nothing.
    Assumes: within three minutes a try ends before the finger does.
    Source: judgement on the limit of Chapman et al. 2025, doi 10.14814/phy2.70342; tests/unit/test_air_day.py.
    """
    return np.clip((180.0 - clumsy_s) / 120.0, 0.0, 1.0)


def wait_s(hours: Hours, setting: Setting, dry_skin: bool) -> Floats:
    """Return the seconds by which hours are ranked: the pause after a middling try, and what else speaks against them.

    Parameters: hours; setting; dry_skin (brittle air then counts).
    Returns: (H,), s, at most 15 min; NaN where the air is not known.
    Raises: nothing.
    Assumes: two minutes against sun on the face in air over 15 C and against rock in doubt, four against air that
        makes a finger clumsy within a minute, fading out from 10 to 15 C, of which sun on the face takes half, five
        against brittle air for dry skin.
    Source: judgement: an order, no measure; tests/unit/test_air_ranks.py.
    """
    top, sun = 900.0, np.nan_to_num(setting.sun_frac)
    wait = np.minimum(hours.middling_s, top)
    warm = np.clip((setting.temp_c - MILD_C) / 5.0, 0.0, 1.0)
    wait = wait + 120.0 * sun * warm + 120.0 * (rock_state(hours) == DOUBTFUL_ROCK)
    cold = np.clip((MILD_C - setting.temp_c) / (MILD_C - COLD_C), 0.0, 1.0)
    wait = wait + 240.0 * chill_frac(hours.clumsy_s) * cold * (1.0 - 0.5 * sun)
    return np.asarray(np.minimum(wait + (300.0 * hours.brittle_frac if dry_skin else 0.0), top))


def windows(
    hours: Hours, setting: Setting, own: PastAir, squad: PastAir, dry_skin: bool, least_h: int = 2
) -> tuple[Window, ...]:
    """Return the windows of a day, the best first.

    Parameters: hours; setting; own and squad (past sessions); dry_skin; least_h (h).
    Returns: windows of at least so many hours, ranked by the share of one's own good sessions in like air in steps
        of a fifth once ten sessions carry air, then by `wait_s`, then by the squad's share.
    Raises: nothing.
    Assumes: hours in rain, in the dark or on wet rock are none.
    Source: judgement: own history first, physics second, squad third; tests/unit/test_air_day.py.
    """
    rock, wait = rock_state(hours), wait_s(hours, setting, dry_skin)
    usable = setting.light & ~setting.rain & (rock != WET_ROCK) & ~np.isnan(wait)
    sunny = np.nan_to_num(setting.sun_frac) >= 0.5
    mine = alike(setting.temp_c, hours.dew_c, own)
    theirs = alike(setting.temp_c, hours.dew_c, squad)
    found, first = [], 0
    for h in range(1, usable.size + 1):
        if h < usable.size and _same(h, first, usable, sunny, setting.sea, rock):
            continue
        if usable[first] and h - first >= least_h:
            run = slice(first, h)
            found.append(
                Window(first, h, bool(sunny[first]), int(setting.sea[first]), int(rock[first]),
                       float(wait[run].mean()),
                       _most(mine, run) if own.good.size >= LEAST_SESSIONS else (0, 0), _most(theirs, run))
            )  # fmt: skip
        first = h
    return tuple(sorted(found, key=_order))


def _same(h: int, first: int, usable: Bools, *states: Floats | Bools | Ints) -> bool:
    return bool(usable[h] == usable[first]) and all(state[h] == state[first] for state in states)


def _most(found: Alike, run: slice) -> tuple[int, int]:
    """Of the hours of a window the one with the most sessions in like air; none under three."""
    most = int(np.argmax(found.all[run]))
    good, count = int(found.good[run][most]), int(found.all[run][most])
    return (good, count) if count >= LEAST_ALIKE else (0, 0)


def _order(window: Window) -> tuple[float, float, float, int]:
    return (-_share(window.own, 5), round(window.rank_s / 10.0), -_share(window.squad, 20), window.first)


def _share(found: tuple[int, int], steps: int) -> float:
    """Share of good sessions, drawn to a half by two sessions that never were, in so many steps."""
    return round(steps * (found[0] + 1) / (found[1] + 2)) / steps

"""All that the filters hold on the morning of a day, so that a later pass can go on from there and not from the start.

A pass that goes on from a footing makes the same sums in the same order as one over the whole course, so both end in
the same bits. A footing says nothing of which facts it was made from: `digests` does.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from coaching.science import dampness, hardness, reserve
from coaching.science.answering import nothing_told
from coaching.science.filtering import Bank, Belief, Leg
from coaching.science.inputs import INGREDIENTS, Course, Episodes, Floats
from coaching.science.load import Since
from coaching.science.quantities import Parameters
from coaching.science.readiness import usable_answers

RECENT_DAYS = 64
"""Days of filtered means and variances kept with a footing: more than the pages and the squad's bar look back."""
UNREAD = frozenset({"strain_done_au", "limited"})
"""Arrays of a course that no filter reads as they are: body load, and answers, of which only some count."""


@dataclass(frozen=True)
class Footing:
    """Filters of N athletes on the morning of a day, its ratings not yet read; athletes last."""

    ordinal: int  # proleptic ordinal of that morning
    reserve: Bank
    dampness: Bank
    hardness: Bank
    uptake: Floats  # (SPEEDS, 2, I, N) agents in the skin
    habit: Floats  # (2, I, N) weighted sum of doses, sum of weights
    usual: Floats  # (2, N) weighted sum of loads, sum of weights
    told: Floats  # (cells, N) what answers said of the personal shift
    recent: Floats  # (6, RECENT_DAYS, N) mean and variance of reserve, dampness, hardness of the days before

    def begin(self, course: Course) -> int:
        """Column of the morning in a course."""
        return self.ordinal - course.first_ordinal

    def legs(self, course: Course, keep: int) -> tuple[Leg, Leg, Leg]:
        """Legs of the three filters from this morning on."""
        banks = (self.reserve, self.dampness, self.hardness)
        reserve_leg, dampness_leg, hardness_leg = (Leg(self.begin(course), bank, keep) for bank in banks)
        return reserve_leg, dampness_leg, hardness_leg

    def rows(self, rows: Sequence[int]) -> Footing:
        """Some athletes, in that order."""
        return _built(self.ordinal, [part[..., list(rows)] for part in _parts(self)])


def prior(ordinal: int, athletes: int, p: Parameters) -> Footing:
    """Return the footing of athletes of whom nothing is known.

    Parameters: ordinal (the morning); athletes (count); p.
    Returns: Footing.
    Raises: nothing.
    Assumes: no agent in the skin.
    Source: priors of the filters; tests/property/test_footing.py.
    """
    n, agents = athletes, len(INGREDIENTS)
    return Footing(
        ordinal,
        reserve.prior(n, p),
        dampness.prior(n, p),
        hardness.prior(n, p),
        uptake=np.zeros((len(dampness.SPEEDS), 2, agents, n)),
        habit=np.zeros((2, agents, n)),
        usual=np.zeros((2, n)),
        told=nothing_told(n, p),
        recent=np.full((6, RECENT_DAYS, n), np.nan),
    )


def since(footing: Footing, course: Course) -> tuple[Since, Since]:
    """Return load and habit of doses taken up again.

    Parameters: footing; course.
    Returns: two Since: load (N,), doses (I, N).
    Raises: nothing.
    Assumes: nothing.
    Source: bookkeeping; tests/property/test_footing.py.
    """
    begin = footing.begin(course)
    return Since(begin, *footing.usual), Since(begin, *footing.habit)


def _parts(f: Footing) -> list[Floats]:
    banks = [part for b in (f.reserve, f.dampness, f.hardness) for part in (b.log_weight, b.belief.mean, b.belief.cov)]
    return [*banks, f.uptake, f.habit, f.usual, f.told, f.recent]


def _built(ordinal: int, parts: list[Floats]) -> Footing:
    banks = [Bank(parts[k], Belief(parts[k + 1], parts[k + 2])) for k in (0, 3, 6)]
    uptake, habit, usual, told, recent = parts[9:]
    return Footing(ordinal, banks[0], banks[1], banks[2], uptake, habit, usual, told, recent)


def packed(footing: Footing) -> list[bytes]:
    """Return each athlete's footing as bytes.

    Parameters: footing (N athletes).
    Returns: N strings of little-endian float64.
    Raises: nothing.
    Assumes: whoever unpacks has the same model.
    Source: bookkeeping; tests/property/test_footing.py.
    """
    n = footing.told.shape[-1]
    rows = np.concatenate([part.reshape(-1, n) for part in _parts(footing)]).T
    return [row.astype("<f8").tobytes() for row in np.ascontiguousarray(rows)]


def unpacked(ordinal: int, rows: Sequence[bytes], p: Parameters) -> Footing:
    """Return the footing of athletes from their bytes.

    Parameters: ordinal (the morning); rows (N, as from `packed`); p.
    Returns: Footing.
    Raises: ValueError where bytes do not have the length of this model's footing.
    Assumes: nothing.
    Source: bookkeeping; tests/property/test_footing.py.
    """
    shapes = [part.shape[:-1] for part in _parts(prior(ordinal, 0, p))]
    sizes = [int(np.prod(shape)) for shape in shapes]
    if any(len(row) != 8 * sum(sizes) for row in rows):
        raise ValueError("a footing of another model")
    flat = np.stack([np.frombuffer(row, dtype="<f8") for row in rows], axis=-1).astype(np.float64)
    pieces = np.split(flat, np.cumsum(sizes)[:-1])
    return _built(ordinal, [np.ascontiguousarray(x.reshape(*s, -1)) for x, s in zip(pieces, shapes, strict=True)])


def remembered(recent: Floats, begin: int, days: Floats, which: int) -> Floats:
    """Return a course of values with the days before a footing filled in as far as they are kept.

    Parameters: recent, as of the footing; begin (column of its morning); days (T, N), nil before it; which
        (index into the first axis of `recent`).
    Returns: (T, N); NaN where nothing is kept.
    Raises: nothing.
    Assumes: nothing.
    Source: bookkeeping; tests/property/test_footing.py.
    """
    if begin == 0:
        return days
    kept = min(begin, recent.shape[1])
    gone = np.full((begin - kept, days.shape[1]), np.nan)
    return np.concatenate([gone, recent[which, recent.shape[1] - kept :], days[begin:]])


def digests(course: Course, episodes: Episodes, upto: int) -> list[str]:
    """Return for each athlete the digest of everything the filters read before a morning.

    Parameters: course; episodes (they decide which answers count); upto (column of the morning).
    Returns: N hexadecimal SHA-256.
    Raises: nothing.
    Assumes: a filter that begins on the first column of the course.
    Source: bookkeeping; tests/property/test_footing.py.
    """
    read = {name: v for name, v in vars(course).items() if isinstance(v, np.ndarray) and name not in UNREAD}
    values = [usable_answers(course, episodes), *(read[name] for name in sorted(read))]
    flat = [v[:, :upto].astype("<f8").reshape(course.athletes, -1) for v in values]
    rows = np.concatenate(flat, axis=1)
    rows = np.where(np.isnan(rows), np.nan, rows)  # one pattern of bits for everything not known
    head = f"{course.first_ordinal} {upto} ".encode()
    tails = _trials_before(course, upto)
    return [
        hashlib.sha256(head + row.tobytes() + tails.get(k, b"")).hexdigest()
        for k, row in enumerate(np.ascontiguousarray(rows))
    ]


def _trials_before(course: Course, upto: int) -> dict[int, bytes]:
    """Trials read before a morning, by athlete; those without any are left out."""
    one, found = course.tried, dict[int, bytes]()
    for k in np.flatnonzero(one.column < upto):
        said = f" tried {one.column[k]} {one.ingredient[k]} {one.effect_pt[k]!r} {one.sd_pt[k]!r}".encode()
        found[int(one.athlete[k])] = found.get(int(one.athlete[k]), b"") + said
    return found

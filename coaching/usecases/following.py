"""Run the filters over a batch: from the first day read, or from a morning kept earlier where that still holds."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from athletes.records.histories_arrays import Arrays, arrays
from athletes.records.histories_share import share
from coaching.rules.facts import AthleteFacts
from coaching.science import footing as footings
from coaching.science.footing_small import small, whole
from coaching.science.model import Model
from coaching.science.outputs import Estimate
from coaching.science.skin import State
from coaching.usecases import window


@dataclass(frozen=True)
class Kept:
    """What the filters held of one athlete on a morning, and the digest of all they had read by then."""

    ordinal: int
    digest: str
    state: bytes


Mornings = Mapping[int, Sequence[Kept]]
"""Mornings kept, by athlete."""


@dataclass(frozen=True)
class Followed:
    """Athletes whose filters began on the same day, and what came of it."""

    keys: tuple[int, ...]
    facts: tuple[AthleteFacts, ...]
    made: Arrays
    estimate: Estimate
    state: State
    as_of: date
    model: Model
    fresh: Mapping[int, Kept] = field(default_factory=dict)


def follow(
    facts: Mapping[int, AthleteFacts], as_of: date, model: Model, ahead_days: int, mornings: Mornings | None = None
) -> list[Followed]:
    """The filters of all athletes, in groups that begin on one day; each athlete is in one.

    It keeps a new morning where `mornings` is given and none of them is the newest that there could be.
    """
    keys = sorted(facts)
    if not keys:
        return []
    made = _arrays(facts, keys, as_of, ahead_days)
    if mornings is None:
        return [_run(facts, keys, as_of, model, made, None, keep=False)]
    begun = _begun(keys, made, model, mornings)
    groups: dict[int, list[int]] = {}
    for row, key in enumerate(keys):
        groups.setdefault(begun[key].ordinal if key in begun else 0, []).append(row)
    found = []
    for rows in groups.values():
        group = [keys[row] for row in rows]
        own = made if len(group) == len(keys) else share(made, rows)
        start = _start([begun[key] for key in group if key in begun], model)
        found.append(_run(facts, group, as_of, model, own, start, keep=True))
    return found


def _arrays(facts: Mapping[int, AthleteFacts], keys: Sequence[int], as_of: date, ahead_days: int) -> Arrays:
    some = [facts[key] for key in keys]
    last = max((entry.last_day for one in some for entry in one.entries), default=as_of)
    ahead = max(ahead_days, (last - as_of).days)
    return arrays(some, as_of, past_days=window.past_days(as_of), ahead_days=ahead)


def _run(
    facts: Mapping[int, AthleteFacts],
    keys: Sequence[int],
    as_of: date,
    model: Model,
    made: Arrays,
    start: footings.Footing | None,
    *,
    keep: bool,
) -> Followed:
    first = made.course.first_ordinal
    wanted = window.morning(as_of)
    at = wanted - first if keep and wanted > max(first, start.ordinal if start else 0) else -1
    estimate, state = model.filter(made.course, footing=start, keep=at)
    fresh = {}
    if at >= 0:
        packed = footings.packed(model.footing(made.course, made.episodes, state, at))
        digests = _digests(made, at, model)
        for key, digest, row in zip(keys, digests, packed, strict=True):
            fresh[key] = Kept(wanted, digest, small(row))
    some = tuple(facts[key] for key in keys)
    return Followed(tuple(keys), some, made, estimate, state, as_of, model, fresh)


def _digests(made: Arrays, at: int, model: Model) -> list[str]:
    """Digest of what each athlete's filters read before a morning, and of the quantities they go by."""
    p = model.parameters
    told = f"{model.version} {sorted(p.values.items())} {sorted(p.spreads.items())}"
    return [
        hashlib.sha256(f"{told} {one}".encode()).hexdigest() for one in footings.digests(made.course, made.episodes, at)
    ]


@dataclass(frozen=True)
class _Begun:
    ordinal: int
    state: bytes


def _begun(keys: Sequence[int], made: Arrays, model: Model, mornings: Mornings) -> dict[int, _Begun]:
    """The newest morning of each athlete before which nothing has changed, and whose bytes are whole."""
    course, found = made.course, dict[int, _Begun]()
    length = len(footings.packed(footings.prior(1, 1, model.parameters))[0])
    for ordinal in sorted({kept.ordinal for key in keys for kept in mornings.get(key, ())}, reverse=True):
        if not 0 < ordinal - course.first_ordinal <= course.origin:
            continue
        now = dict(zip(keys, _digests(made, ordinal - course.first_ordinal, model), strict=True))
        for key in (key for key in keys if key not in found):
            for kept in mornings.get(key, ()):
                state = _whole(kept) if kept.ordinal == ordinal and kept.digest == now[key] else b""
                if len(state) == length:
                    found[key] = _Begun(ordinal, state)
    return found


def _whole(kept: Kept) -> bytes:
    try:
        return whole(kept.state)
    except ValueError:
        return b""


def _start(begun: Sequence[_Begun], model: Model) -> footings.Footing | None:
    if not begun:
        return None
    return footings.unpacked(begun[0].ordinal, [one.state for one in begun], model.parameters)

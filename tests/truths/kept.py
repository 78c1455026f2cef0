"""What a simulated squad leaves behind, and what nobody but the simulation knows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Damage:
    athlete: int
    day: int
    kind: str
    deep: bool
    site: str
    closes: float  # day
    sound: float  # day


@dataclass(frozen=True)
class Look:
    """A look at damage as it was written down."""

    damage: int  # index into the damage of the truth
    day: int
    stage: str
    balm: bool
    taped: bool


@dataclass(frozen=True)
class Truth:
    """What happened and what would have; (N, T) each unless said."""

    plan_min: Floats
    done_min: Floats
    rock: Flags
    logged: Flags
    planned_dose: Flags
    took: Flags
    noted: Flags
    answered: Flags
    reserve: NDArray[np.int64]  # as it would be reported
    dampness: NDArray[np.int64]
    limited_by_skin: Flags  # a session that day would be, damage left out
    limited: Flags
    p_skin: Floats  # chance that skin does not limit a session, all levels and limits known
    responds: Flags  # (N,)
    damage: tuple[Damage, ...]
    looked: Flags
    looks: tuple[Look, ...] | None = None  # as written down, where a truth says more of them than `looked`
    hidden: Any = None  # bodies and their states by day, in the truth's own form: for its ceiling only

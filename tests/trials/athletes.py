"""Athletes of whom the truth is known: an agent comes on, lingers and is missed; skin scatters from day to day, answers
are whole numbers. Written apart from the product: one stage on, one off, no saturation table.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

PAST_DAYS = 90


@dataclass(frozen=True)
class Scene:
    """One kind of truth; times in days, effects in points at the planned use once it has run for long."""

    name: str
    effect: float
    ingredient: str = "methenamine"
    hands: bool = False
    pairs: int = 6
    skip: int = 9
    read: int = 5
    missed: float = 0.3
    dose: float = 0.5  # what the product takes a use for: a strong coat a night, half of a full day's
    onset: float = 5.3  # median over athletes
    washout: float = 9.0
    memory: float = 0.6
    shock: float = 0.65
    report: float = 0.8
    trend: float = 0.0  # points over the whole trial
    hand_sd: float = 0.5  # between the two hands of one athlete

    @property
    def block(self) -> int:
        return self.skip + self.read

    @property
    def days(self) -> int:
        return self.block * self.pairs * (1 if self.hands else 2)


def answers(rng: np.random.Generator, scene: Scene, force: np.ndarray) -> np.ndarray:
    """Whole numbers 0-10 of both tracks (2, T), under what is in force (2, T); one day in seven is not answered."""
    days = force.shape[1]
    noise = np.zeros(days)
    noise[0] = rng.normal(0, scene.shock / np.sqrt(1 - scene.memory**2))
    for day in range(1, days):
        noise[day] = scene.memory * noise[day - 1] + rng.normal(0, scene.shock)
    level = 6.0 + noise + scene.trend * np.arange(days) / max(days, 1)
    tracks = level + scene.effect * force
    if scene.hands:
        tracks = tracks + rng.normal(0, scene.hand_sd, (2, 1)) + rng.normal(0, scene.report, (2, days))
    else:
        tracks = tracks + rng.normal(0, scene.report, days)
    rounded = np.clip(np.rint(tracks), 0, 10)
    return np.where(rng.random(days) < 1 / 7, np.nan, rounded)


def in_force(rng: np.random.Generator, scene: Scene, taken: np.ndarray) -> np.ndarray:
    """Share of the effect of the planned use (2, T): each athlete has an onset and a wash-out of their own."""
    onset, washout = scene.onset * np.exp(rng.normal(0, 0.3)), scene.washout * np.exp(rng.normal(0, 0.45))
    rise = 1 - 0.5 ** (1 / onset)  # half after `onset` days
    fall = 1 - np.exp(-1 / washout)
    force = np.zeros_like(taken)
    for day in range(1, taken.shape[1]):
        before, dose = force[:, day - 1], taken[:, day - 1]
        force[:, day] = before + np.where(dose > before, rise, fall) * (dose - before)
    return force

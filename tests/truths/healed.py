"""Score healing on squads that tear their skin often: `python -m tests.truths.healed SEED ...`, a minute or two a seed.

Looks go the way of the records into arrays, the squad's own times are learned on one evening, and damage is forecast on
the day it was noticed, from then on. The ceiling knows paces, habits and all loads to come.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from tests.truths import splits
from tests.truths.kept import Floats, Truth
from tests.truths.scores import skill
from tests.truths.written import FIRST_DAY

LEARNED_ON, FIRST, LAST, WITHIN_D = 74, 76, 136, 7
TOLD_D = 61
PLAN_SLU = 1.2 / 60  # a minute at the effort that bundles of truths state


@dataclass(frozen=True)
class Healed:
    """Forecasts of the first day, a row each; and what came."""

    p: Floats  # of sound within WITHIN_D days
    came: Floats  # 1 it was
    held: Floats  # 1 the day it was sound lay in the 80 % range
    which: Sequence[int]  # index of the damage

    @property
    def skill(self) -> float:
        return skill(self.p, self.came)


def healed(truth: Truth, *, learned: bool = True, step: int = 1) -> Healed:
    """Forecasts of every `step`th day by the current model, with the squad's own times where they are learned."""
    from athletes.records.histories_episodes import episode_arrays
    from athletes.records.histories_grid import Grid
    from coaching.science.fitting_healing import healing_fit
    from coaching.science.healing import healing
    from coaching.science.healing_again import load_ahead
    from coaching.science.versions import CURRENT, get
    from tests.courses import calm

    facts, load = _facts(truth), truth.plan_min * PLAN_SLU * np.where(truth.rock, 1.5, 1.0)
    athletes, days = load.shape
    p, rows = get(CURRENT).parameters, list[tuple[float, float, float, int]]()
    if learned:
        episodes, _ = episode_arrays(facts, Grid(athletes, LEARNED_ON + 1, FIRST_DAY.toordinal(), LEARNED_ON))
        p = p.changed(**healing_fit(episodes, LEARNED_ON, 0.88 * load[:, :LEARNED_ON].mean(axis=1), p))
    for at in range(FIRST, min(LAST, days - WITHIN_D), step):
        episodes, index = episode_arrays(facts, Grid(athletes, at + TOLD_D, FIRST_DAY.toordinal(), at))
        kept = np.flatnonzero(np.isin(episodes.athlete, episodes.athlete[episodes.noticed == at]))
        plan = np.full((athletes, at + TOLD_D), np.nan)
        plan[:, : min(days, at + 16)] = load[:, : at + 16]
        some = episodes.rows(kept)
        course = calm(athletes, at + TOLD_D, at, load_plan_slu=plan)
        told = healing(some, at, TOLD_D, p, load_ahead(course, some, TOLD_D, p))
        for row in np.flatnonzero(some.noticed == at):
            which = int(index[kept[row]][1][0].episode_id[1:])
            left = truth.damage[which].sound - at
            inside = told.sound_days[row, 0] <= left <= told.sound_days[row, 3]
            rows.append((told.p_sound[row, WITHIN_D], left <= WITHIN_D, inside, which))
    table = np.array(rows, dtype=np.float64)
    return Healed(table[:, 0], table[:, 1], table[:, 2], [int(which) for which in table[:, 3]])


def _facts(truth: Truth) -> list[object]:
    """Damage and looks as the records hand them on."""
    from coaching.rules.facts import AthleteFacts, EpisodeFact, LookFact

    looks: list[list[LookFact]] = [[] for _ in truth.damage]
    for o in truth.looks or ():
        looks[o.damage].append(LookFact(_day(o.day), o.stage, balm_night=o.balm, taped=o.taped))
    own: list[list[EpisodeFact]] = [[] for _ in range(truth.plan_min.shape[0])]
    for k, d in enumerate(truth.damage):
        depth, seen = "deep" if d.deep else "shallow", tuple(looks[k])
        own[d.athlete].append(EpisodeFact(f"d{k}", d.site, d.kind, _day(d.day), depth, looks=seen))
    return [AthleteFacts(f"a{row}", 22, "UTC", episodes=tuple(found)) for row, found in enumerate(own)]


def _day(column: int) -> date:
    return FIRST_DAY + timedelta(days=column)


def main(seeds: list[int]) -> None:
    for seed in seeds:
        truth = splits.squad(seed)
        for learned in (False, True):
            got = healed(truth, learned=learned)
            print(seed, "learned" if learned else "the trade's", f"skill {got.skill:.3f} held {got.held.mean():.3f}",
                  len(got.which), flush=True)  # fmt: skip
        best = np.array([splits.p_sound(truth, which, WITHIN_D, 60) for which in got.which])
        print(seed, f"ceiling {skill(best, got.came):.3f}", flush=True)


if __name__ == "__main__":
    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coaching.config.settings")
    django.setup()
    main([int(seed) for seed in sys.argv[1:]])

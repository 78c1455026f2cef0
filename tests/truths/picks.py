"""What following "what would help most" brings on `skins`: `python -m tests.truths.picks SEED ...`, minutes a seed.

Each athlete's event lies a week ahead. The truth runs every plan from the state of that morning, its own laws and
parameters known, with the same chance events for every plan; the best plan is found on other chance events than those
that value it, so that luck is not taken for skill.
"""

from __future__ import annotations

import os
import sys
import tempfile
from dataclasses import replace
from pathlib import Path

import numpy as np

from tests.truths import skins
from tests.truths.kept import Floats, Truth
from tests.truths.run import ORIGINS
from tests.truths.skins_ceiling import best
from tests.truths.written import bundle, day

AHEAD, LAST_DAYS, DRAWS, HARM = 7, 4, 120, -0.03
PLANS = ("half-load", "rest-last-days", "agent-on", "agent-off")
"""The changes of a plan that the truth has laws for."""


def true_gains(truth: Truth, at: int, seed: int) -> Floats:
    """Change of the chance of a good day under no change and each of PLANS, (1 + PLANS, N)."""
    days = np.arange(truth.plan_min.shape[1])
    ahead = (days > at) & (days < at + AHEAD)
    edits = (
        {},
        {"plan_min": np.where(ahead, 0.5 * truth.plan_min, truth.plan_min)},
        {"plan_min": np.where(ahead & (days >= at + AHEAD - LAST_DAYS), 0.0, truth.plan_min)},
        {"planned_dose": truth.planned_dose | ahead},
        {"planned_dose": truth.planned_dose & ~ahead},
    )
    values = np.stack([best(replace(truth, **edit), at, AHEAD, DRAWS, seed)[0] for edit in edits])
    return np.asarray(values - values[0])


def told_gains(truth: Truth) -> dict[int, tuple[Floats, Floats]]:
    """By evening: what the current model says each of PLANS gains, and whether it is safe; rows as `true_gains`."""
    from athletes.records import access, histories
    from athletes.records.histories_arrays import arrays
    from coaching.science import helping
    from coaching.science.inputs import Targets
    from coaching.science.versions import CURRENT, get
    from coaching.usecases import clock, window
    from coaching.usecases.import_bundle import import_bundle
    from coaching.usecases.throwaway import throwaway_database

    found, places = {}, [helping.OPTIONS.index(option) for option in PLANS]
    with tempfile.TemporaryDirectory() as folder, throwaway_database():
        import_bundle(bundle(truth, Path(folder) / "bundle"), club_name="picks", now=clock.now())
        refs = sorted(access.refs_visible(access.OPERATOR(day(ORIGINS[-1]))), key=lambda ref: ref.code)
        ids, n = [ref.id for ref in refs], len(refs)
        for at in ORIGINS:
            facts = histories.facts(ids, day(at), announced=False)
            past = window.past_days(day(at))
            made = arrays([facts[i] for i in ids], day(at), past_days=past, ahead_days=AHEAD + 1)
            first = np.full(n, made.course.origin + AHEAD)
            own = (made.episodes.athlete[None, :] == np.arange(n)[:, None]) * 1.0
            targets = Targets(np.arange(n), first, first, np.zeros(n, dtype=np.bool_), own)
            may = {option: np.ones(n, dtype=np.bool_) for option in PLANS}
            told = get(CURRENT).helping(made.course, made.episodes, targets, may)
            who = [int(code[1:]) for code in made.athlete_ids]
            gain, safe = np.zeros((1 + len(PLANS), n)), np.ones((1 + len(PLANS), n))
            gain[1:, who] = np.nan_to_num(told.gain[places], nan=-1.0)
            safe[1:, who] = told.low[places] >= helping.NO_LOSS
            found[at] = gain, safe
    return found


def main(seeds: list[int]) -> None:
    from coaching.science.helping import CLEAR_GAIN

    for seed in seeds:
        truth = skins.squad(seed, athletes=300)
        told = told_gains(truth)
        gain, safe = (np.concatenate([told[at][k] for at in ORIGINS], axis=1) for k in (0, 1))
        one, two = (np.concatenate([true_gains(truth, at, k) for at in ORIGINS], axis=1) for k in (0, 1))
        row, value = np.arange(gain.shape[1]), 0.5 * (one + two)
        ideal = two[np.where(gain > -1.0, one, -1.0).argmax(axis=0), row].mean()
        score = np.where(safe > 0, gain, -1.0)
        pick = np.where(score.max(axis=0) >= CLEAR_GAIN, score.argmax(axis=0), 0)
        got = value[pick, row]
        captured, rested = got.mean() / ideal, value[2].mean() / ideal
        print(f"{seed}: {row.size} picks, {np.mean(pick > 0):.2f} clear; {captured:.3f} of {ideal:.3f} won,", end=" ")
        print(f"{np.mean(got < HARM):.3f} lose 3 in 100; resting for all wins {rested:.3f}", flush=True)


if __name__ == "__main__":
    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coaching.config.settings")
    django.setup()
    main([int(seed) for seed in sys.argv[1:]])

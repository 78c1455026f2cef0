"""Score the model on simulated squads: `python -m tests.truths.run TRUTH SEED ...`, some minutes a seed."""

from __future__ import annotations

import importlib
import os
import sys
import tempfile
from pathlib import Path

import numpy as np

from tests.truths import scores as scored
from tests.truths.kept import Truth
from tests.truths.written import bundle, day

ORIGINS = (76, 104, 132)
HORIZONS = (7, 14)
TRUTHS = {"skins": "skins_ceiling", "layers": "layers", "moods": "moods"}
"""Module that simulates -> module that knows its best forecast."""


def ceiling(truth: Truth, name: str, days: int) -> float:
    best = importlib.import_module(f"tests.truths.{TRUTHS[name]}").best
    p = np.concatenate([best(truth, at, days)[0] for at in ORIGINS])
    return scored.skill(p, np.concatenate([1.0 - truth.limited[:, at + days] for at in ORIGINS]))


def main(name: str, seeds: list[int]) -> None:
    from coaching.usecases.backtest import backtest

    for seed in seeds:
        truth = importlib.import_module(f"tests.truths.{name}").squad(seed)
        with tempfile.TemporaryDirectory() as folder:
            file = Path(folder) / "forecasts.csv"
            made = backtest(bundle(truth, Path(folder) / "bundle"), [day(at) for at in ORIGINS], HORIZONS)
            file.write_text(made.forecasts)
            for days in HORIZONS:
                print(name, seed, days, f"ceiling {ceiling(truth, name, days):.3f}", scored.scores(truth, file, days))


if __name__ == "__main__":
    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coaching.config.settings")
    django.setup()
    main(sys.argv[1], [int(seed) for seed in sys.argv[2:]])

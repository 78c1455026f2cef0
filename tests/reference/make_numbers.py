"""Reference values of loads and scores from general libraries; started by tests.reference.make."""

from __future__ import annotations

from collections.abc import Callable
from importlib.metadata import version
from typing import Any

Rows = dict[str, Any]
DAYS = 90
HALF_LIVES_D = (2.409, 7.0, 14.0)


def draws(salt: int, count: int) -> list[float]:
    """Numbers in 0-1 by a linear congruence (multiplier of Park & Miller 1988), salted: the same everywhere."""
    value, out = 7919 * (salt + 1) % 2147483647, []
    for _ in range(count):
        value = value * 48271 % 2147483647
        out.append(value / 2147483647)
    return out


def known(values: Any) -> list[float | None]:
    return [None if one != one else float(one) for one in values]


def loads() -> Rows:
    """Three months of loads, a fifth of the days not known, a third rest."""
    import pandas

    rested, hidden, size = draws(1, DAYS), draws(2, DAYS), draws(3, DAYS)
    plain = [0.0 if rest < 0.33 else round(4.0 * much, 2) for rest, much in zip(rested, size, strict=True)]
    told = pandas.Series([None if gone < 0.2 else load for gone, load in zip(hidden, plain, strict=True)], dtype=float)
    whole = pandas.Series(plain)
    week, month = whole.rolling(7), whole.rolling(28)
    return {
        "library": f"pandas {version('pandas')}",
        "load": known(told),
        "observed_mean": {
            str(half): known(told.ewm(halflife=half, adjust=True, ignore_na=False).mean()) for half in HALF_LIVES_D
        },
        "sum_of_seven": known(told.rolling(7, min_periods=1).sum()),
        "unknown_of_seven": [int(n) for n in told.isna().astype(int).rolling(7).sum().dropna()],
        "whole": plain,
        "monotony": known(week.mean() / week.std(ddof=1)),
        "load_times_monotony": known(week.sum() * week.mean() / week.std(ddof=1)),
        "uncoupled": known(week.mean() / whole.rolling(21).mean().shift(7)),
        "coupled": known(week.mean() / month.mean()),
    }


def scores() -> Rows:
    import numpy
    import scoringrules

    mean, sd, value = (numpy.array(part) for part in zip(*NORMALS, strict=True))
    members = numpy.array(MEMBERS)
    return {
        "library": f"scoringrules {version('scoringrules')}",
        "normal": [
            {"mean": m, "sd": s, "value": v, "crps": float(c)}
            for (m, s, v), c in zip(NORMALS, scoringrules.crps_normal(value, mean, sd), strict=True)
        ],
        "members": MEMBERS,
        "of_members": [
            {"value": v, "crps": float(scoringrules.crps_ensemble(v, members, estimator="qd"))}
            for v in (-1.0, 1.0, 2.6, 3.0, 4.2, 11.0)
        ],
        "chances": [
            {"p": p, "happened": y, "brier": float(scoringrules.brier_score(y, p))}
            for p, y in ((0.9, 1), (0.2, 0), (0.35, 1), (0.0, 0), (1.0, 0))
        ],
        "ranges": [
            {"low": a, "high": b, "value": v, "outside": out,
             "score": float(scoringrules.interval_score(v, a, b, out))}
            for a, b, v, out in ((2.0, 5.0, 6.0, 0.1), (2.0, 6.0, 1.5, 0.2), (0.0, 1.0, 0.5, 0.5))
        ],
    }  # fmt: skip


NORMALS = [
    (0.0, 1.0, 0.0), (0.0, 1.0, 1.0), (2.0, 0.5, 3.0), (20.0, 4.0, 15.0), (10.0, 3.0, 10.0), (5.0, 2.0, -1.0),
    (6.0, 1.2, 5.5),
]  # fmt: skip
MEMBERS = [1.0, 2.0, 2.0, 3.5, 4.0, 4.1, 7.0]

FILES: dict[str, Callable[[], Rows]] = {"loads.json": loads, "scores.json": scores}

"""How the kept forecasts of a viewer's athletes turned out: sums over everybody who shares what they are scored by.

A forecast is scored by the athlete's own answer to "did skin limit you?". Where there is none and somebody saw damage
open that day, that is told apart: days without damage and without an answer have no such witness, and counting only
the bad ones would judge the model by them. Answers of those who share their level but not their check-ins are never
counted, because from a sum over few, one can be worked out.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np

from athletes.records import access
from athletes.records.queries_scored import came
from athletes.records.viewer import Viewer
from coaching.ledger import kept as ledger
from coaching.science import scoring, scoring_chances, scoring_ranges
from coaching.science.inputs import Bools, Floats
from coaching.science.reported import LEVELS
from coaching.usecases.right_arrays import Days, Kept, days_of, held, kept_of, rivals
from coaching.usecases.shown_right import (
    FEWEST,
    FEWEST_A_BIN,
    HORIZONS,
    RIVALS,
    UNSCORED,
    Bin,
    Gain,
    Horizon,
    Ratings,
    Right,
)

COACHING = frozenset({"head-coach", "assistant", "medical", "manager"})
WINDOW_D = 91
BEFORE_D = 63
"""Days before the first forecast shown from which the rivals learn."""
EVENT_WITHIN_D = 14
HALF_STEP_PT = 0.5


def were_we_right(viewer: Viewer) -> Right:
    """The last quarter's forecasts; raises NotFound without a coaching role."""
    if not (viewer.operator or viewer.roles() & COACHING):
        raise access.NotFound
    refs = access.refs_visible(viewer)
    first = viewer.today - timedelta(days=WINDOW_D)
    rows = ledger.kept_of([ref.id for ref in refs], first)
    begin = min((row.made_on for row in rows), default=first) - timedelta(days=BEFORE_D)
    found = came(refs, begin, viewer.today)
    telling = [ref.id for ref in refs if "checkins" in ref.shared]
    days = days_of(telling, found, begin, viewer.today)
    open_rows = [row for row in rows if row.athlete_id in days.row]
    counts = {"not-shared": len(rows) - len(open_rows)}
    bins, horizons, ratings, said, scored = _judged(open_rows, days, viewer.today, counts)
    return Right(
        today=viewer.today,
        first_day=min((row.target_day for row in rows), default=first),
        athletes=len(refs),
        answering=len(telling),
        kept=len(rows),
        afterwards=sum(row.afterwards for row in rows),
        scored=scored,
        bins=bins,
        horizons=horizons,
        ratings=ratings,
        unscored={code: counts.get(code, 0) for code in UNSCORED},
        damage_seen_said=said,
        models=tuple(sorted({row.model for row in rows})),
    )


_Judged = tuple[tuple[Bin, ...], tuple[Horizon, ...], tuple[Ratings, ...], float | None, int]


def _judged(rows: Sequence[ledger.KeptRow], days: Days, today: date, counts: dict[str, int]) -> _Judged:
    if not rows:
        return (), tuple(Horizon(code, 0) for code in HORIZONS), (), None, 0
    whole = kept_of(rows, days)
    over = whole.until < days.column(today)
    counts["to-come"] = int((~over).sum())
    whole = whole.only(over)
    outcome = held(whole, days)
    answered = ~np.isnan(outcome)
    said = _unscored(whole.only(~answered), days, counts)
    scored, outcome = whole.only(answered), outcome[answered]
    told = rivals(scored, days)
    horizons = tuple(_horizon(code, scored, outcome, told) for code in HORIZONS)
    plain = ~scored.event
    return _bins(scored.p[plain], outcome[plain]), horizons, _ratings(whole, days), said, int(outcome.shape[0])


def _unscored(kept: Kept, days: Days, counts: dict[str, int]) -> float | None:
    """Count why the forecasts that are over have no answer; the mean chance of those where damage was seen open."""
    seen = days.seen_open[kept.athlete, kept.target]
    climbed = days.climbed[kept.athlete, kept.target]
    counts["damage-seen"] = int(seen.sum())
    counts["not-answered"] = int((climbed & ~seen).sum())
    counts["no-session"] = int((~climbed & ~seen).sum())
    return float(kept.p[seen].mean()) if seen.any() else None


def _bins(p: Floats, outcome: Floats) -> tuple[Bin, ...]:
    tenths = np.rint(10.0 * p).astype(np.int64)
    count, said, good = (np.bincount(tenths, weights=part, minlength=11) for part in (np.ones(p.shape), p, outcome))
    low, high = scoring_chances.share_range(good, count)
    some = np.maximum(count, 1.0)
    return tuple(
        Bin(k, int(count[k]), float(said[k] / some[k]), float(good[k] / some[k]), float(low[k]), float(high[k]))
        for k in range(11)
        if count[k] > 0
    )


def _of(code: str, kept: Kept) -> Bools:
    if code == "event":
        return np.asarray(kept.event & (kept.horizon <= EVENT_WITHIN_D))
    return np.asarray(~kept.event & (kept.horizon == int(code)))


def _horizon(code: str, kept: Kept, outcome: Floats, told: dict[str, Floats]) -> Horizon:
    which = _of(code, kept)
    p, good, who = kept.p[which], outcome[which], kept.athlete[which]
    if p.shape[0] < FEWEST:
        return Horizon(code, p.shape[0])
    tenths = np.rint(10.0 * p).astype(np.int64)
    means = (np.bincount(tenths, weights=p) / np.maximum(np.bincount(tenths), 1))[tenths]
    reliability, resolution, uncertainty = scoring.murphy_parts(means, good)
    return Horizon(
        code,
        p.shape[0],
        said_frac=float(p.mean()),
        held_frac=float(good.mean()),
        brier=scoring.brier(p, good),
        reliability=reliability,
        resolution=resolution,
        uncertainty=uncertainty,
        log_score=scoring.log_score(np.clip(p, 1e-4, 1.0 - 1e-4), good),
        calibration=scoring_chances.calibration_error(p, good),
        area=_known(scoring_chances.area_under_curve(p, good > 0.5)),
        gains=tuple(_gain(name, (p, told[name][which]), good, who) for name in RIVALS),
    )


def _gain(name: str, chances: tuple[Floats, Floats], good: Floats, who: Floats) -> Gain:
    p, other = chances
    both = ~np.isnan(other)
    if int(both.sum()) < FEWEST:
        return Gain(name, int(both.sum()), None)
    own, theirs = (p[both] - good[both]) ** 2, (other[both] - good[both]) ** 2
    group = np.unique(who[both], return_inverse=True)[1]
    low, high = scoring_chances.resampled(own, theirs, group)
    gain = scoring_chances.skill(float(own.mean()), float(theirs.mean()))
    return Gain(name, int(both.sum()), _known(gain), _known(low), _known(high))


def _ratings(kept: Kept, days: Days) -> tuple[Ratings, ...]:
    found = []
    for place, (scale, values) in enumerate((("reserve", days.reserve_pt), ("dampness", days.dampness_pt))):
        for horizon in (7, 14):
            which = ~kept.event & (kept.horizon == horizon)
            rating, quantiles = values[kept.athlete, kept.target][which], kept.told[place][:, which]
            found.append(_rating(scale, horizon, rating, quantiles))
    return tuple(found)


def _rating(scale: str, horizon: int, rating: Floats, quantiles: Floats) -> Ratings:
    known = ~np.isnan(rating)
    count = int(known.sum())
    if count < FEWEST_A_BIN:
        return Ratings(scale, horizon, count, None, None)
    value, told, levels = rating[known], quantiles[:, known], np.array(LEVELS)
    low, high = told[LEVELS.index(0.10)], told[LEVELS.index(0.90)]
    ends = (scoring_ranges.transform(told, levels, value + step) for step in (-HALF_STEP_PT, HALF_STEP_PT))
    quarters = scoring_ranges.transform_shares(*ends)
    crps = float(scoring_ranges.crps_quantiles(told, levels, value).mean())
    return Ratings(scale, horizon, count, scoring_ranges.coverage(low, high, value), crps, tuple(quarters.tolist()))


def _known(value: float) -> float | None:
    return None if np.isnan(value) else float(value)

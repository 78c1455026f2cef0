"""What an athlete's other damage says of their pace: damage that is over, and damage that is still watched."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from coaching.science.filtering import ordered_sum
from coaching.science.healing_looks import LEAST, Seen, closings, evidence, running
from coaching.science.healing_times import PACES, Stretch, deep_share, levels, stretches
from coaching.science.inputs import Episodes, Finished, Floats
from coaching.science.quantities import Parameters


def between_looks(finished: Finished) -> Seen:
    """Return when finished damage closed, as what is known of damage is read.

    Parameters: finished (F).
    Returns: Seen, (F,), counted from the day it began, its origin the day on which it was found sound.
    Raises: nothing.
    Assumes: nothing.
    Source: bookkeeping; tests/unit/test_healing_history.py.
    """
    whole = (finished.sound_by - finished.begun).astype(np.float64)
    by = np.clip(finished.shut_by - finished.begun, 0, whole).astype(np.float64)
    after = np.clip(finished.shut_after - finished.begun, 0, by).astype(np.float64)
    no = np.zeros(whole.shape, dtype=np.bool_)
    return Seen(np.full(whole.shape, -1), no, no, whole, after, by, whole)


def finished_likely(finished: Finished, factors: Floats, p: Parameters) -> Floats:
    """Return how likely the looks at finished damage are at each pace.

    Parameters: finished (F); factors (levels,), of all times; p.
    Returns: (levels, F), relative.
    Raises: nothing.
    Assumes: looks are right; it was sound some time between the look that found it so and the one before.
    Source: interval-censored times (Turnbull 1976); tests/unit/test_healing_history.py.
    """
    s = between_looks(finished)
    closes, grows, _ = stretches(finished, factors, p)
    before = np.clip(finished.sound_after - finished.begun, 0, s.looked_d)
    until = np.maximum(s.looked_d, before + 0.5)
    shut = running(closes, s.after_d) - running(closes, np.maximum(s.by_d, s.after_d + 0.5))
    whole = []
    for at in closings(s, closes):
        second = Stretch(at, grows.median_d, grows.log_sd)
        whole.append(running(second, before) - running(second, until))
    likely = shut * ordered_sum(np.stack(whole)) / len(whole)
    deep = deep_share(finished, p)
    return np.asarray((1.0 - deep) * likely[0] + deep * likely[1])


def told_by_finished(finished: Finished, p: Parameters) -> Floats:
    """Return how likely the looks at finished damage are at each of an athlete's paces.

    Parameters: finished (F); p.
    Returns: (PACES, F), log likelihood.
    Raises: nothing.
    Assumes: a small share was recorded as far worse or far better than it was and says nothing of the pace.
    Source: Bayes' rule; tests/unit/test_healing_history.py.
    """
    factors, prior = levels(p)
    return _log(finished_likely(finished, factors, p), prior)


def told_by_watched(s: Seen, episodes: Episodes, p: Parameters) -> Floats:
    """Return how likely the looks at damage that is not over are at each of an athlete's paces.

    Parameters: s; episodes (E); p.
    Returns: (PACES, E), log likelihood.
    Raises: nothing.
    Assumes: as `evidence`.
    Source: Bayes' rule; tests/unit/test_healing_history.py.
    """
    factors, prior = levels(p)
    stages, deep = stretches(episodes, factors, p), deep_share(episodes, p)
    told = evidence(s, stages[0], stages[1], prior)
    return _log((1.0 - deep) * told[0] + deep * told[1], prior)


def _log(likely: Floats, prior: Floats) -> Floats:
    aside = prior[0] * likely[0] + prior[-1] * likely[-1]
    return np.asarray(np.log(np.maximum((1.0 - prior[0] - prior[-1]) * likely[1:-1] + aside, LEAST)))


def with_habit(episodes: Episodes) -> Episodes:
    """Return damage with the athlete's habit of balm and cover at night where its own looks do not tell.

    Parameters: episodes (E).
    Returns: Episodes.
    Raises: nothing.
    Assumes: nights are covered as with the damage that is over.
    Source: judgement; tests/unit/test_healing_history.py.
    """
    over = episodes.finished
    told = ~np.isnan(over.balm_share)
    last = int(max(episodes.athlete.max(initial=-1), over.athlete.max(initial=-1)))
    total, count = np.zeros(last + 1), np.zeros(last + 1)
    np.add.at(total, over.athlete[told], over.balm_share[told])
    np.add.at(count, over.athlete[told], 1.0)
    usual = np.where(count > 0, total / np.maximum(count, 1.0), np.nan)[episodes.athlete]
    return replace(episodes, balm_share=np.where(np.isnan(episodes.balm_share), usual, episodes.balm_share))


def pace_weights(s: Seen, episodes: Episodes, p: Parameters) -> Floats:
    """Return how likely each level of healing is before the looks at an episode itself.

    Parameters: s; episodes (E); p.
    Returns: (levels, E), or (levels, 1) in versions that do not ask other damage.
    Raises: nothing.
    Assumes: pace is one for an athlete, whatever the damage; what was mis-recorded is one episode's own.
    Source: Bayes' rule; tests/unit/test_healing_history.py, tests/property/test_healing_order.py.
    """
    share, prior = p["healing_own_history"], levels(p)[1]
    if share <= 0.0:
        return prior
    over, own = episodes.finished, told_by_watched(s, episodes, p)
    total = np.zeros((int(max(episodes.athlete.max(initial=-1), over.athlete.max(initial=-1))) + 1, PACES))
    np.add.at(total, over.athlete, told_by_finished(over, p).T)
    others = total[episodes.athlete] + _others(episodes, own)
    told = np.exp(share * (others - others.max(axis=1, keepdims=True))).T
    inner = prior[1:-1] * told
    inner = inner / ordered_sum(inner) * ordered_sum(prior[1:-1])
    ends = np.ones((1, inner.shape[1]))
    return np.concatenate([prior[0] * ends, inner, prior[-1] * ends])


def _others(episodes: Episodes, own: Floats) -> Floats:
    """What an athlete's other watched damage says, (E, PACES), added up in the order of the rows."""
    result = np.zeros((episodes.athlete.shape[0], PACES))
    order = np.argsort(episodes.athlete, kind="stable")
    ends = np.flatnonzero(np.diff(episodes.athlete[order])) + 1
    for rows in (rows for rows in np.split(order, ends) if rows.size > 1):
        for row in rows:
            for other in rows[rows != row]:
                result[row] += own[:, other]
    return result

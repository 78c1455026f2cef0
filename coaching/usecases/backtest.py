"""Forecasts as the service would have made them on past evenings, from a bundle alone, so that they can be scored.

It runs as the operator of the machine, without consent, on a database of its own that is gone afterwards. Facts, arrays
and models are those of the service: what was dated after an evening is invisible to it, but for planned sessions,
planned care and events.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import numpy as np
from django.utils.translation import gettext

from athletes.records import access, histories
from athletes.records.histories_arrays import Arrays, arrays
from athletes.records.histories_episodes import PINK_ID
from coaching.science import fitting, versions
from coaching.science.inputs import Floats
from coaching.science.model import Model
from coaching.science.reported import LEVELS
from coaching.science.skin import State
from coaching.usecases import clock, window
from coaching.usecases.import_bundle import import_bundle
from coaching.usecases.throwaway import throwaway_database

CLUB = "tested bundle"
TAUGHT_BY = 300
AT_ONCE = 200
"""Athletes whose facts are in memory together: few enough for a small machine, and no number depends on it."""
SPLIT_DAYS = (4, 7, 14)
DIGITS = 6
POINTS = tuple(f"q{round(1000 * level):03d}".removesuffix("0") for level in LEVELS)
COLUMNS = (
    *("athlete_id", "origin", "horizon_days", "target_date", "p_ready", "p_skin"),
    *(f"{scale}_{point}" for scale in ("reserve", "dampness") for point in POINTS),
    *("p_no_response", "p_unsound"),
)
SPLIT_COLUMNS = (
    *("episode_id", "origin"),
    *(f"p_sound_{days}" for days in SPLIT_DAYS),
    *("days_q10", "days_q50", "days_q90"),
)
Progress = Callable[[str], None]
Row = list[str]


@dataclass(frozen=True)
class Forecasts:
    """Both files, as text."""

    forecasts: str
    splits: str


def backtest(
    path: Path,
    origins: Sequence[date],
    horizons: Sequence[int],
    *,
    train_until: date | None = None,
    progress: Progress = lambda _: None,
) -> Forecasts:
    """Forecast for every athlete, origin and horizon. Raises `BadBundle` with its report.

    With `train_until` the squad's shared quantities are learned first, from what was known that evening.
    """
    model, rows, splits = versions.get(versions.CURRENT), list[Row](), list[Row]()
    with throwaway_database():
        import_bundle(path, club_name=CLUB, now=clock.now())
        days = sorted(set(origins))
        known = sorted(access.refs_visible(access.OPERATOR(days[-1])), key=lambda ref: ref.code)
        ids = [ref.id for ref in known]
        if train_until is not None:
            model = trained(ids, train_until, model, progress)
        for day in days:
            for some in (ids[n : n + AT_ONCE] for n in range(0, len(ids), AT_ONCE)):
                told = _told(some, day, sorted(set(horizons)), model)
                rows += told.forecasts()
                splits += told.splits()
            progress(day.isoformat())
    rows.sort(key=lambda row: (row[0], row[1], int(row[2])))
    splits.sort(key=lambda row: (row[0], row[1]))
    return Forecasts(_text(COLUMNS, rows), _text(SPLIT_COLUMNS, splits))


def trained(ids: Sequence[int], until: date, model: Model, progress: Progress) -> Model:
    """The model with the squad's own quantities, learned from at most `TAUGHT_BY` athletes spread over the squad."""
    some = ids[:: -(-len(ids) // TAUGHT_BY)] if ids else []
    facts = histories.facts(some, until, announced=False)
    made = arrays([facts[i] for i in some], until, past_days=window.past_days(until), ahead_days=0)
    learned = fitting.fit(made.course, made.episodes, model.parameters)
    if learned.provisional:
        progress(gettext("Too little was answered to learn from: {count} answers.").format(count=learned.answers))
        return model
    if math.isnan(learned.before):
        progress(
            gettext("Learned how damage heals; too little was answered to learn more: {count} answers.").format(
                count=learned.answers
            )
        )
        return Model(model.version, learned.applied(model.parameters))
    progress(
        gettext("Learned from {count} answers; their log score was {before} and is {after}.").format(
            count=learned.answers, before=f"{learned.before:.4f}", after=f"{learned.after:.4f}"
        )
    )
    return Model(model.version, learned.applied(model.parameters))


@dataclass(frozen=True)
class _Told:
    """What the model says of one batch on one evening."""

    made: Arrays
    day: date
    horizons: Sequence[int]
    model: Model
    state: State
    no_response_frac: Floats

    def forecasts(self) -> Iterator[Row]:
        course, at = self.made.course, self.made.course.origin
        chance = self.model.chance(course, self.made.episodes, state=self.state, first=at)
        unsound = self._unsound()
        told = self.model.reported(course, state=self.state)
        scales = (told.reserve_pt, told.dampness_pt)
        for row, code in enumerate(self.made.athlete_ids):
            for days in self.horizons:
                column = at + days
                yield [
                    *(code, self.day.isoformat(), str(days), (self.day + timedelta(days=days)).isoformat()),
                    *map(_number, (chance.p[row, column], chance.p_skin[row, column])),
                    *(_number(v) for scale in scales for v in scale[:, row, column]),
                    *map(_number, (self.no_response_frac[row], unsound[row, days])),
                ]

    def splits(self) -> Iterator[Row]:
        """The episodes of the records that were not seen sound; pink tips are worn skin and no record of damage."""
        healing = self.model.heal(self.made.course, self.made.episodes, max(SPLIT_DAYS) + 1)
        for e, code in enumerate(self.made.episode_ids):
            if code != PINK_ID:
                sound = healing.p_sound[e, list(SPLIT_DAYS)]
                days = healing.sound_days[e, [0, 1, 3]]
                yield [code, self.day.isoformat(), *map(_number, sound), *map(_number, days)]

    def _unsound(self) -> Floats:
        """Chance that some damage is not sound, by day from the origin; athletes' episodes heal apart."""
        course, episodes = self.made.course, self.made.episodes
        p_sound = self.model.heal(course, episodes, course.days - course.origin).p_sound
        sound = np.ones((course.athletes, p_sound.shape[1]))
        real = np.array([code != PINK_ID for code in self.made.episode_ids], dtype=np.bool_)
        np.multiply.at(sound, episodes.athlete[real], p_sound[real])
        return 1.0 - sound


def _told(ids: Sequence[int], day: date, horizons: Sequence[int], model: Model) -> _Told:
    facts = histories.facts(ids, day, announced=False)
    ahead_days = max(*horizons, *SPLIT_DAYS) + 1
    made = arrays([facts[i] for i in ids], day, past_days=window.past_days(day), ahead_days=ahead_days)
    estimate, state = model.filter(made.course)
    return _Told(made, day, horizons, model, state, estimate.no_response_frac)


def _number(value: float) -> str:
    """Empty where it is not known or not reached; else a fixed number of digits, so that the bytes are the same."""
    return f"{float(value):.{DIGITS}f}" if math.isfinite(value) else ""


def _text(columns: Sequence[str], rows: Sequence[Row]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")  # RFC 4180
    writer.writerow(columns)
    writer.writerows(rows)
    return out.getvalue()

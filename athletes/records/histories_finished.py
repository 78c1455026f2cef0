"""What looks say of a whole episode: when it closed, whether it opened again, and, once over, when it was sound."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple, Protocol

import numpy as np

from athletes.records.histories_tries import closed_looks, is_closed
from coaching.rules.facts import EpisodeFact, LookFact
from coaching.science.inputs import KINDS, PLACES, Finished

COLUMNS = 13


class Days(Protocol):
    """The days of a course: what the arrays here need of it."""

    def column(self, day: date) -> int: ...


class Run(NamedTuple):
    """The present run of an episode: since it was noticed, or since a look found it open again."""

    begun: date
    reopened: int
    shut_after: date
    shut_by: date


def believed(looks: Sequence[LookFact]) -> Sequence[LookFact]:
    """Looks without those that both neighbours gainsay: a slip of the eye, unless a pull or blood bears it out."""
    kept = list(looks)
    at = 1
    while at + 1 < len(kept):
        before, here, after = (_level(look) for look in kept[at - 1 : at + 2])
        certain = kept[at].opens_on_pull is not None or kept[at].bled is True
        if not certain and not min(before, after) <= here <= max(before, after):
            del kept[at]
            at = max(at - 1, 1)
        else:
            at += 1
    return kept


def _level(look: LookFact) -> int:
    return 2 if look.stage == "sound" else int(is_closed(look))


def last_run(looks: Sequence[LookFact], noticed_on: date) -> Run:
    """When the present run of an episode began, and between which looks it closed; looks are oldest first."""
    looks = believed(looks)
    begun, reopened, was_closed = noticed_on, 0, False
    for look in looks:
        if was_closed and not is_closed(look):
            begun, reopened = look.day, reopened + 1
        was_closed = is_closed(look)
    before, shut = closed_looks(looks)
    by = (shut[0] if shut else looks[-1]).day if looks else noticed_on
    return Run(begun, reopened, before[-1].day if before else noticed_on, by)


def closed_days(looks: Sequence[LookFact]) -> int:
    """Days between looks of which the first found it closed and not sound: in these it could open again."""
    looks = believed(looks)
    pairs = zip(looks, looks[1:], strict=False)
    return sum((b.day - a.day).days for a, b in pairs if is_closed(a) and a.stage != "sound")


Over = tuple[int, EpisodeFact, Sequence[LookFact], str]
"""Row of the athlete, the episode, its looks of which the last found it sound, and its place."""


def stacked_finished(rows: Sequence[Over], grid: Days) -> Finished:
    """Episodes that were last seen sound, in the order given."""
    table = np.array([_row(one, grid) for one in rows], dtype=np.float64).reshape(len(rows), COLUMNS).T
    whole = {name: column for name, column in zip(Finished.__dataclass_fields__, table, strict=True)}
    return Finished(**{k: v if k in ("deep", "balm_share") else v.astype(np.int64) for k, v in whole.items()})


def _row(one: Over, grid: Days) -> tuple[float, ...]:
    row, episode, looks, place = one
    looks = believed(looks)
    run = last_run(looks, episode.noticed_on)
    first = len(looks)
    while first and looks[first - 1].stage == "sound":
        first -= 1
    # Sound skin is not covered at night: what is said of nights after that tells nothing of how it healed.
    balm = [look.balm_night for look in looks[:first] if look.balm_night is not None]
    return (
        row,
        KINDS.index(episode.kind),
        PLACES.index(place),
        {"deep": 1.0, "shallow": 0.0}.get(episode.depth or "", np.nan),
        grid.column(episode.noticed_on),
        grid.column(run.begun),
        grid.column(run.shut_after),
        grid.column(run.shut_by),
        grid.column(looks[first - 1].day if first else run.begun),
        grid.column(looks[first].day),
        float(np.mean(balm)) if balm else np.nan,
        run.reopened,
        closed_days(looks),
    )

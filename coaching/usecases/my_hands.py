"""An athlete's own hands: what was open and how long it took, and what is believed about their skin."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from math import isfinite

from athletes.records import access, histories
from athletes.records.histories_care import INGREDIENT_OF_FORM
from athletes.records.viewer import Viewer
from coaching.rules.facts import AthleteFacts, EpisodeFact
from coaching.science import versions
from coaching.science.costs import NORMAL_90
from coaching.usecases import clock, learned
from coaching.usecases.following import follow


@dataclass(frozen=True)
class PastEpisode:
    """One piece of damage. `sound_on` is the first look of the last stretch that found it sound, `not_yet_on` the last
    day on which it is known not to have been.
    """

    episode_id: str
    site: str
    kind: str
    noticed_on: date
    stage: str
    looked_on: date | None
    sound_on: date | None
    not_yet_on: date

    @property
    def days(self) -> int | None:
        """Days from noticing to the look that found it sound."""
        return None if self.sound_on is None else (self.sound_on - self.noticed_on).days

    @property
    def at_least_days(self) -> int:
        return (self.not_yet_on - self.noticed_on).days


@dataclass(frozen=True)
class Believed:
    """What the model holds for the athlete's own this morning, 0-10 on their scale; ranges are the middle 80 %."""

    reserve: tuple[float, float, float]  # low, middle, high
    dampness: tuple[float, float, float]
    rested_reserve: float
    worked_reserve: float
    plain_dampness: float
    no_response_frac: float | None  # None where no drying agent was ever told of
    checkins: int
    answers: int
    provisional: bool


@dataclass(frozen=True)
class MyHands:
    """`past` newest first, None where damage is not shared; `believed` None where nothing is known or shared."""

    code: str
    name: str
    as_of: date
    past: tuple[PastEpisode, ...] | None
    believed: Believed | None


def my_hands(viewer: Viewer, athlete_code: str | None = None) -> MyHands:
    """Of the athlete who looks, or of a guardian's minor as far as it is shared. Raises NotFound."""
    ref = access.athlete_to_check_in(viewer, athlete_code)
    today = clock.local_day(clock.now(), ref.timezone)
    facts = histories.facts([ref.id], today)[ref.id]
    past = tuple(sorted(past_of(facts.episodes, today), key=lambda one: one.noticed_on, reverse=True))
    return MyHands(
        ref.code, ref.name, today, past if "damage" in ref.shared else None,
        _believed(ref.id, facts, today) if "checkins" in ref.shared else None,
    )  # fmt: skip


def in_crease(site: str) -> bool:
    """Skin in a crease and skin elsewhere take their own time."""
    return site.endswith("crease")


def past_of(episodes: Iterable[EpisodeFact], today: date) -> Iterable[PastEpisode]:
    """Each piece of damage noticed by the day, with the look that found it sound."""
    for one in episodes:
        if one.noticed_on > today:
            continue
        looks = [look for look in one.looks if look.day <= today]
        first = len(looks)
        while first and looks[first - 1].stage == "sound":
            first -= 1
        last = looks[-1] if looks else None
        yield PastEpisode(
            one.episode_id, one.site, one.kind, one.noticed_on,
            last.stage if last else "open", last.day if last else None,
            looks[first].day if first < len(looks) else None, looks[first - 1].day if first else one.noticed_on,
        )  # fmt: skip


def _believed(athlete_id: int, facts: AthleteFacts, today: date) -> Believed | None:
    """The model of today with what the squad taught it, on the facts of today."""
    told = [one.day for one in facts.checkins if one.says_skin]
    if not told:
        return None
    version = versions.get(versions.CURRENT)
    fit = learned.of_athletes([athlete_id], version.version).get(athlete_id)
    (run,) = follow({athlete_id: facts}, today, learned.applied(version, fit), 0)
    found, at = run.estimate, run.made.course.origin
    used = any(one.form in INGREDIENT_OF_FORM and one.status == "done" for one in facts.care)
    used = used or any(one.agent_used for one in facts.checkins)
    gone = float(found.no_response_frac[0])
    return Believed(
        _range(float(found.reserve_mean_pt[0, at]), float(found.reserve_known_sd_pt[0, at])),
        _range(float(found.dampness_mean_pt[0, at]), float(found.dampness_known_sd_pt[0, at])),
        float(found.usual_reserve_pt[0]), float(found.worked_reserve_pt[0]), float(found.usual_dampness_pt[0]),
        gone if used and isfinite(gone) else None, len(told),
        sum(1 for one in facts.sessions if not one.planned and one.skin_limited is not None),
        fit is None or fit.provisional,
    )  # fmt: skip


def _range(mean: float, sd: float) -> tuple[float, float, float]:
    return max(0.0, mean - NORMAL_90 * sd), mean, min(10.0, mean + NORMAL_90 * sd)

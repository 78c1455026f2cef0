"""Both hands on two days, what was at each site week by week, how long each kind took, and photos in pairs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta

from athletes.records import access, histories
from athletes.records.photos import keeping
from athletes.records.photos.keeping import PhotoOnFile
from athletes.records.viewer import Viewer
from coaching.rules.facts import AthleteFacts, EpisodeFact
from coaching.usecases import clock
from coaching.usecases.my_hands import PastEpisode, past_of
from coaching.usecases.picturing import marks
from coaching.usecases.shown import MarkShown

APART_DAYS = 28
STRIP_DAYS = 56
"""Eight weeks, as on the athlete's own page."""


@dataclass(frozen=True)
class DamageThen:
    """Damage that was not sound on a day, as last looked at by then."""

    site: str
    kind: str
    stage: str
    noticed_on: date
    looked_on: date | None


@dataclass(frozen=True)
class HandsOn:
    """What was known of both hands on the evening of a day."""

    day: date
    marks: tuple[MarkShown, ...]
    damage: tuple[DamageThen, ...]
    answered_on: date | None  # the last check-in by then that tells of skin


@dataclass(frozen=True)
class Run:
    """A site in one state from a day to a day; `kind` where it is damage."""

    site: str
    state: str
    first: date
    last: date
    kind: str = ""


@dataclass(frozen=True)
class Pair:
    """Photos of one piece of damage nearest to the two days; the same one twice where there is but one."""

    episode_id: str
    site: str
    then: PhotoOnFile
    now: PhotoOnFile


@dataclass(frozen=True)
class HandsOverTime:
    """None where damage, or photos, are not shared with the viewer."""

    code: str
    name: str
    today: date
    then: HandsOn | None
    now: HandsOn | None
    runs: tuple[Run, ...] = ()
    past: tuple[PastEpisode, ...] = ()
    pairs: tuple[Pair, ...] | None = None


def hands_over_time(viewer: Viewer, code: str, then: date | None, now: date | None) -> HandsOverTime:
    """The athlete on two days, by default today and four weeks before. Raises NotFound for a stranger's athlete."""
    ref = access.athlete_by_code(viewer, code, "level")
    today = clock.local_day(clock.now(), ref.timezone)
    if "damage" not in ref.shared:
        return HandsOverTime(ref.code, ref.name, today, None, None)
    later = min(now or today, today)
    earlier = min(then or later - timedelta(days=APART_DAYS), later)
    facts = histories.facts([ref.id], today)[ref.id]
    photos = keeping.of_athlete(ref)
    return HandsOverTime(
        ref.code, ref.name, today, hands_on(facts, earlier), hands_on(facts, later),
        tuple(runs(facts, today - timedelta(days=STRIP_DAYS - 1), today)),
        tuple(sorted(past_of(facts.episodes, today), key=lambda one: one.noticed_on, reverse=True)),
        None if photos is None else tuple(_pairs(photos, earlier, later)),
    )  # fmt: skip


def hands_on(facts: AthleteFacts, day: date) -> HandsOn:
    """As it was known then: nothing told later counts."""
    known = replace(
        facts,
        checkins=tuple(one for one in facts.checkins if one.day <= day),
        sightings=tuple(one for one in facts.sightings if one.day <= day),
    )
    damage = [found for one in facts.episodes if (found := _then(one, day))]
    answered = max((one.day for one in known.checkins if one.says_skin), default=None)
    return HandsOn(day, tuple(marks(known, day)), tuple(damage), answered)


def _then(episode: EpisodeFact, day: date) -> DamageThen | None:
    if episode.noticed_on > day:
        return None
    looks = [one for one in episode.looks if one.day <= day]
    stage = looks[-1].stage if looks else "open"
    if stage == "sound":
        return None
    seen = looks[-1].day if looks else None
    return DamageThen(episode.site, episode.kind, stage, episode.noticed_on, seen)


def runs(facts: AthleteFacts, first: date, last: date) -> Iterable[Run]:
    """What was at each site within the days, by site and day; damage outranks a mark on the same day."""
    states: dict[str, dict[date, tuple[str, str]]] = {}
    for n in range((last - first).days + 1):
        found = hands_on(facts, day := first + timedelta(days=n))
        for mark in found.marks:
            states.setdefault(mark.site, {})[day] = (mark.mark, "")
        for damage in found.damage:
            states.setdefault(damage.site, {})[day] = (damage.stage, damage.kind)
    for site in sorted(states):
        yield from _joined(site, states[site])


def _joined(site: str, days: dict[date, tuple[str, str]]) -> Iterable[Run]:
    kept: Run | None = None
    for day in sorted(days):
        state, kind = days[day]
        if kept and (kept.state, kept.kind) == (state, kind) and (day - kept.last).days == 1:
            kept = replace(kept, last=day)
            continue
        if kept:
            yield kept
        kept = Run(site, state, day, day, kind)
    if kept:
        yield kept


def _pairs(photos: Iterable[PhotoOnFile], then: date, now: date) -> Iterable[Pair]:
    by_episode: dict[str, list[PhotoOnFile]] = {}
    for one in photos:
        by_episode.setdefault(one.episode_id, []).append(one)
    for code, found in by_episode.items():
        first = min(found, key=lambda one: abs((one.local_date - then).days))
        last = min(reversed(found), key=lambda one: abs((one.local_date - now).days))
        yield Pair(code, found[0].site, first, last)

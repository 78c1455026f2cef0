"""What the strip, the hands and the course are drawn from, for one athlete: facts and model figures as shown values."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from coaching.rules.facts import AthleteFacts, CareFact, EntryFact, EpisodeFact, LookFact
from coaching.rules.numbers import AthleteNumbers, EpisodeNumbers, Quartet
from coaching.usecases.ahead import DayAhead
from coaching.usecases.shown import (
    CareRun,
    CourseDay,
    DamageShown,
    EventShown,
    LoadDay,
    MarkShown,
    PictureShown,
    StageSpan,
)

BEHIND_DAYS = 56
"""Days behind today that the athlete page can draw: eight weeks."""
AHEAD_DAYS = 28
MARK_DAYS = 4
"""A mark that no later check-in repeated or dropped is shown for this long."""


@dataclass(frozen=True)
class DayFigures:
    """Daily figures of one athlete from the models, both lists as long as the days from `first_day` on."""

    first_day: date
    done_slu: Sequence[float | None]
    plan_slu: Sequence[float | None]
    course: Sequence[CourseDay]
    ahead: Mapping[int, DayAhead] = field(default_factory=dict)  # by days from today; what is kept


def picture(facts: AthleteFacts, numbers: AthleteNumbers, figures: DayFigures, as_of: date) -> PictureShown:
    """The picture as known on the evening of `as_of`, nothing left out; reading cuts it to what is shared."""
    first = as_of - timedelta(days=BEHIND_DAYS)
    last = as_of + timedelta(days=AHEAD_DAYS)
    return PictureShown(
        first_day=first,
        load=tuple(_load(figures, first, last)),
        care=tuple(runs(c for c in facts.care if first <= c.day <= last and c.status != "skipped")),
        damage=tuple(
            _damage(e, numbers.episodes.get(e.episode_id), as_of) for e in facts.episodes if _stands(e, first)
        ),
        marks=tuple(marks(facts, as_of)),
        events=tuple(event(entry) for entry in facts.entries),
        silent=tuple(_silent(facts, as_of, min(BEHIND_DAYS, 28))),
        course=tuple(day for day in figures.course if first <= day.day),
        load_7d_slu=numbers.load_7d_slu,
        load_7d_unknown_days=numbers.load_7d_unknown_days,
        load_7d_percentile=numbers.load_7d_percentile,
        monotony=numbers.monotony,
        reserve_mean_pt=numbers.reserve_mean_pt,
        usual_reserve_pt=numbers.usual_reserve_pt,
        dampness_mean_pt=numbers.dampness_mean_pt,
        hardness_mean_pt=numbers.hardness_mean_pt,
    )


def event(entry: EntryFact) -> EventShown:
    return EventShown(
        entry.event_id,
        entry.event_name,
        entry.kind,
        entry.first_day,
        entry.last_day,
        entry.timezone,
        entry.entry_deadline,
    )


def _load(figures: DayFigures, first: date, last: date) -> Iterable[LoadDay]:
    for n, (done, plan) in enumerate(zip(figures.done_slu, figures.plan_slu, strict=True)):
        day = figures.first_day + timedelta(days=n)
        if first <= day <= last:
            yield LoadDay(day, done, plan)


def runs(care: Iterable[CareFact]) -> list[CareRun]:
    """Care rows joined to runs: the same form, gaps of at most two days, done and planned apart."""
    found: dict[tuple[str, str, bool], list[CareRun]] = {}
    for row in sorted(care, key=lambda c: (c.day, c.verb, c.form)):
        kept = found.setdefault((row.verb, row.form, row.status == "planned"), [])
        if kept and (row.day - kept[-1].last).days <= 3:
            kept[-1] = CareRun(row.verb, row.form, kept[-1].first, row.day, row.status == "planned")
        else:
            kept.append(CareRun(row.verb, row.form, row.day, row.day, row.status == "planned"))
    return sorted((r for rows in found.values() for r in rows), key=lambda r: (r.first, r.verb, r.form, r.planned))


def _stands(episode: EpisodeFact, first: date) -> bool:
    """Not sound yet, or sound only since the picture's first day."""
    if not episode.looks or episode.looks[-1].stage != "sound":
        return True
    return episode.looks[-1].day >= first


def _damage(episode: EpisodeFact, numbers: EpisodeNumbers | None, as_of: date) -> DamageShown:
    last = episode.looks[-1] if episode.looks else None
    asked = next((look for look in reversed(episode.looks) if look.pain is not None), None)
    pulled = next((look for look in reversed(episode.looks) if look.opens_on_pull is not None), None)
    sound = numbers.sound if numbers else None
    usable = numbers.usable if numbers else None
    return DamageShown(
        episode_id=episode.episode_id,
        site=episode.site,
        kind=episode.kind,
        depth=episode.depth,
        noticed_on=episode.noticed_on,
        stage=last.stage if last else "open",
        looked_on=last.day if last else None,
        pain=asked.pain if asked else None,
        opens_on_pull=pulled.opens_on_pull if pulled else None,
        spans=tuple(_spans(episode, numbers, as_of)),
        sound_early=_on(as_of, sound, "q10_d"),
        sound_median=_on(as_of, sound, "q50_d"),
        sound_late=_on(as_of, sound, "q80_d"),
        usable_median=_on(as_of, usable, "q50_d"),
        usable_late=_on(as_of, usable, "q80_d"),
    )


def _on(as_of: date, quartet: Quartet | None, name: str) -> date | None:
    days = getattr(quartet, name) if quartet else None
    return None if days is None else as_of + timedelta(days=max(0, round(days)))


def _spans(episode: EpisodeFact, numbers: EpisodeNumbers | None, as_of: date) -> Iterable[StageSpan]:
    """Stages as looked at until today, then as the middle of the model expects them."""
    looks: list[tuple[date, str]] = [(episode.noticed_on, _first_stage(episode.looks))]
    looks += [(look.day, look.stage) for look in episode.looks]
    for (day, stage), following in zip(looks, [*looks[1:], (as_of + timedelta(days=1), "")], strict=True):
        if following[0] > day and stage != "sound":
            yield StageSpan(stage, day, following[0] - timedelta(days=1), expected=False)
    if numbers is None or looks[-1][1] == "sound":
        return
    closed = _on(as_of, numbers.closed, "q50_d") or as_of
    sound = _on(as_of, numbers.sound, "q50_d") or as_of + timedelta(days=AHEAD_DAYS)
    if closed > as_of + timedelta(days=1):
        yield StageSpan("closing", as_of + timedelta(days=1), closed - timedelta(days=1), expected=True)
    start = max(closed, as_of + timedelta(days=1))
    if sound > start:
        yield StageSpan("rimmed", start, sound - timedelta(days=1), expected=True)


def _first_stage(looks: Sequence[LookFact]) -> str:
    return looks[0].stage if looks and looks[0].stage != "sound" else "open"


def marks(facts: AthleteFacts, as_of: date) -> list[MarkShown]:
    """Marks that stand today: of the last check-in, and of sightings not older than it, within MARK_DAYS."""
    oldest = as_of - timedelta(days=MARK_DAYS)
    last = facts.checkins[-1] if facts.checkins else None
    found: dict[tuple[str, str], MarkShown] = {}
    if last and last.day >= oldest:
        for site, mark in last.marks:
            found[site, mark] = MarkShown(site, mark, _since(facts, site, mark), "athlete")
    for sighting in facts.sightings:
        if sighting.day >= oldest:
            for site, mark in sighting.marks:
                found.setdefault((site, mark), MarkShown(site, mark, sighting.day, sighting.by))
    return [found[key] for key in sorted(found)]


def _since(facts: AthleteFacts, site: str, mark: str) -> date:
    """First day of the unbroken run of check-ins that carry the mark."""
    day = facts.checkins[-1].day
    for checkin in reversed(facts.checkins):
        if (site, mark) not in checkin.marks:
            break
        day = checkin.day
    return day


def _silent(facts: AthleteFacts, as_of: date, behind: int) -> Iterable[date]:
    """Days of the last weeks without an answer about the skin, from the first on."""
    answered = {c.day for c in facts.checkins if c.says_skin}
    start = max(as_of - timedelta(days=behind), min(answered, default=as_of - timedelta(days=behind)))
    for n in range((as_of - start).days + 1):
        if (day := start + timedelta(days=n)) not in answered:
            yield day

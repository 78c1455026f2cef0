"""A note of damage as whoever has it sees it: where, what, how deep by plain questions, how large, with or without a
photo. And the looks after it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils.translation import gettext

from athletes.records import access, queries, queries_damage, writes
from athletes.records.access import AthleteRef
from athletes.records.errors import BadInput
from athletes.records.paging import Wanted
from athletes.records.photos import keeping
from athletes.records.photos.cleaning import Clean
from athletes.records.photos.keeping import PhotoOnFile
from athletes.records.queries import EpisodeRecord
from athletes.records.queries_damage import DamageOnFile, LookOnFile
from athletes.records.viewer import Viewer
from coaching.rules.medical import UNNAMED_SIGN
from coaching.usecases import clock, record_checkin
from coaching.usecases.next_looks import looks_apart, next_looks
from coaching.usecases.storing import storing

LATE_DAYS = 14
ARRIVES_WITHIN = record_checkin.LATE_DAYS
MOST_LOOKS = 60


@dataclass(frozen=True)
class Signs:
    """Signs of infection: None is not answered, empty is none; `unnamed`: said without ticking one."""

    flags: tuple[str, ...] | None = None
    unnamed: bool = False


@dataclass(frozen=True)
class Note:
    """What was told of new damage; None is not answered. Lengths in mm."""

    site: str
    kind: str
    noticed_on: date
    bled: bool | None = None
    red_below: bool | None = None
    stage: str | None = None
    length_mm: float | None = None
    worries: tuple[str, ...] = ()
    cause: str = ""
    signs: Signs = Signs()
    photo: Clean | None = None
    seen_on: date | None = None
    """The day on which it was told; None for today. A phone without a signal sends it later."""

    @property
    def depth(self) -> str | None:
        """Deep where blood or fluid came, or pink or red shows below; shallow where both were denied.

        From memory of anatomy: the outer skin holds no blood vessels, so blood comes from below it. None where that
        was not answered: depth is never guessed.
        """
        if self.bled or self.red_below:
            return "deep"
        return "shallow" if self.bled is False and self.red_below is False else None


@dataclass(frozen=True)
class LookTold:
    """What was seen later of damage that stands."""

    stage: str | None = None
    opens_on_pull: bool | None = None
    pain: int | None = None
    bled: bool | None = None
    signs: Signs = Signs()
    photo: Clean | None = None


@dataclass(frozen=True)
class NoteAsked:
    """What the page of a new note starts from."""

    athlete_code: str
    athlete_name: str
    today: date
    dominant_hand: str | None
    minor: bool
    photos_on: bool
    open: tuple[EpisodeRecord, ...]


@dataclass(frozen=True)
class Episode:
    """One piece of damage with its looks, newest first, and its pictures, oldest first."""

    asked: NoteAsked
    damage: DamageOnFile
    looks: tuple[LookOnFile, ...]
    photos: tuple[PhotoOnFile, ...]
    next_looks: tuple[date, ...]


def note_asked(viewer: Viewer, athlete_code: str | None = None) -> NoteAsked:
    """Raises NotFound where the viewer has no such athlete."""
    ref = access.athlete_to_check_in(viewer, athlete_code)
    today = clock.local_day(clock.now(), ref.timezone)
    return NoteAsked(
        ref.code, ref.name, today, ref.dominant_hand, ref.minor, "photos" in ref.shared,
        queries.open_episodes(viewer, ref.id, today),
    )  # fmt: skip


def note_damage(viewer: Viewer, athlete_code: str | None, note: Note, last_day: date | None = None) -> str:
    """Store the note with its first look, signs and photo, all or nothing; returns the episode's code. The same damage
    of the same day is one episode. `last_day` is the last that has begun where they are, if not at home. Raises
    NotFound, BadInput, and `keeping.TooMany` for photos.
    """
    ref, at = access.athlete_to_check_in(viewer, athlete_code), clock.now()
    last = last_day or clock.local_day(at, ref.timezone)
    seen_on = note.seen_on or clock.local_day(at, ref.timezone)
    _check_days(note.noticed_on, seen_on, last)
    more = {"length_mm": note.length_mm, "cause": note.cause or None, "worries": note.worries or None}
    with storing([ref.id], at):
        code = writes.open_damage(
            athlete_id=ref.id, site=note.site, kind=note.kind, noticed_on=note.noticed_on, depth=note.depth,
            made_at=at, by=viewer.account_id, **more,
        )  # fmt: skip
        if note.stage or note.bled is not None:
            _look(viewer, ref, code, seen_on, LookTold(note.stage or "open", bled=note.bled), at)
        _signs(viewer, ref, seen_on, note.signs, at)
        if note.photo:
            keeping.store(ref.id, code, seen_on, note.photo, at)
    return code


def may_look(viewer: Viewer, athlete_code: str | None, episode_id: str) -> AthleteRef:
    """The athlete, who has that episode. Raises NotFound for whoever may not answer for them."""
    ref = access.athlete_to_check_in(viewer, athlete_code)
    queries_damage.episode_key(ref, episode_id)
    return ref


def look_again(viewer: Viewer, athlete_code: str | None, episode_id: str, told: LookTold) -> None:
    """Store a look of today, signs and photo, all or nothing. Raises as `note_damage`."""
    ref, at = may_look(viewer, athlete_code, episode_id), clock.now()
    today = clock.local_day(at, ref.timezone)
    with storing([ref.id], at):
        if told.stage:
            _look(viewer, ref, episode_id, today, told, at)
        _signs(viewer, ref, today, told.signs, at)
        if told.photo:
            keeping.store(ref.id, episode_id, today, told.photo, at)


def drop_photo(viewer: Viewer, athlete_code: str | None, name: str) -> None:
    """Take a photo away for good. Raises NotFound for one that is not the athlete's."""
    keeping.drop(access.athlete_to_check_in(viewer, athlete_code).id, name)


def episode(viewer: Viewer, athlete_code: str | None, episode_id: str) -> Episode:
    """One piece of the athlete's damage. Raises NotFound."""
    ref = may_look(viewer, athlete_code, episode_id)
    today = clock.local_day(clock.now(), ref.timezone)
    every = queries_damage.damage(ref, Wanted(1000)).rows
    found = next(one for one in every if one.episode_id == episode_id)
    looks = queries_damage.looks(ref, episode_id, Wanted(MOST_LOOKS)).rows
    last = looks[0] if looks else None
    apart = looks_apart(ref.id, today)
    asked = NoteAsked(ref.code, ref.name, today, ref.dominant_hand, ref.minor, "photos" in ref.shared, ())
    seen = last.local_date if last else found.noticed_on
    return Episode(
        asked, found, looks, keeping.of_athlete(ref, episode_id) or (),
        next_looks(last.stage if last else "open", seen, today, apart),
    )  # fmt: skip


def _check_days(noticed_on: date, seen_on: date, last_day: date) -> None:
    """Told within a fortnight of noticing it; and by a phone, within as long as a check-in may take to arrive."""
    if max(noticed_on, seen_on) > last_day:
        raise BadInput("noticed_on", gettext("is still to come"), max(noticed_on, seen_on))
    if seen_on < noticed_on:
        raise BadInput("seen_on", gettext("is before it was noticed"), seen_on)
    early = noticed_on < seen_on - timedelta(days=LATE_DAYS) or seen_on < last_day - timedelta(days=ARRIVES_WITHIN)
    if early:
        raise BadInput("noticed_on", gettext("is too long ago to be answered now"), noticed_on)


def _look(viewer: Viewer, ref: AthleteRef, code: str, day: date, told: LookTold, at: datetime) -> None:
    seen = {"pain": told.pain, "opens_on_pull": told.opens_on_pull, "bled": told.bled}
    writes.add_look(
        athlete_id=ref.id, episode_code=code, local_date=day, stage=told.stage or "open", made_at=at,
        by=viewer.account_id, **seen,
    )  # fmt: skip


def _signs(viewer: Viewer, ref: AthleteRef, day: date, signs: Signs, at: datetime) -> None:
    """Signs go where every other program looks for them, on the day's answers; they are only ever added to."""
    if not signs.flags and not signs.unnamed:
        return
    before = queries.checkin_of_day(viewer, ref.id, day)
    note = (before.note or "") if before else ""
    told: dict[str, object] = {"local_date": day, "red_flags": list(signs.flags or ())}
    if signs.unnamed and UNNAMED_SIGN not in note:
        told["note"] = f"{note}\n{UNNAMED_SIGN}".strip()
    if not signs.flags:
        told.pop("red_flags")
    writes.store_checkin(athlete_id=ref.id, answers=told, made_at=at, by=viewer.account_id)

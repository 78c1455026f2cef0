"""What a doctor or a federation is handed of one athlete, as frozen records. The athlete came through the door; what
is not shared is None, never empty. One query each, two for damage.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import Count, Max, Min

from athletes.records.access import AthleteRef
from athletes.records.access_words import age_years
from athletes.records.models import Athlete, Care, CheckIn, Damage, Look, Session, Sighting, Signoff
from athletes.records.queries_days import DAMAGE_VERBS


@dataclass(frozen=True)
class About:
    """`age` in whole years. Sensitivities and contraindications are None where they are not for the viewer."""

    age: int | None
    dominant_hand: str
    sensitivities: tuple[str, ...] | None
    contraindications: tuple[str, ...] | None


@dataclass(frozen=True)
class LookTold:
    day: date
    stage: str
    pain: int | None
    opens_on_pull: bool | None
    bled: bool | None


@dataclass(frozen=True)
class DamageTold:
    """An episode with its looks, oldest first; `cause` None where notes are not shared, `again`: the site was hurt
    before.
    """

    site: str
    kind: str
    noticed_on: date
    depth: str
    length_mm: float | None
    width_mm: float | None
    worries: tuple[str, ...]
    cause: str | None
    looks: tuple[LookTold, ...]
    again: bool

    @property
    def stage(self) -> str | None:
        return self.looks[-1].stage if self.looks else None

    @property
    def sound_on(self) -> date | None:
        """The day of the look from which on it was sound; None while it is not."""
        if self.stage != "sound":
            return None
        last = [look.day for look in self.looks if look.stage != "sound"]
        return next(look.day for look in self.looks if not last or look.day > last[-1])


@dataclass(frozen=True)
class CareDone:
    """One form as it was done within the days asked for: how often, first and last day, and how skin took it."""

    verb: str
    form: str
    times: int
    first: date
    last: date
    reactions: tuple[str, ...]


@dataclass(frozen=True)
class AnswersTold:
    """The last answers within the days asked for; `note` None where notes are not shared."""

    day: date
    pull_pain: int | None
    red_flags: tuple[str, ...]
    note: str | None


def about(athlete: AthleteRef, today: date, *, causes_open: bool) -> About:
    """Profile of the athlete; why care is refused only where that is open to the viewer and check-ins are shared."""
    row = Athlete.objects.get(id=athlete.id)
    told = causes_open and "checkins" in athlete.shared
    return About(
        age_years(row.birth_date, today), row.dominant_hand,
        tuple(row.sensitivities) if told else None, tuple(row.contraindications) if told else None,
    )  # fmt: skip


def damage(athlete: AthleteRef, first: date, last: date) -> tuple[DamageTold, ...] | None:
    """Episodes noticed by the last day and not sound before the first, oldest first."""
    if "damage" not in athlete.shared:
        return None
    rows = list(
        Damage.objects.filter(athlete_id=athlete.id, noticed_on__lte=last).order_by("noticed_on", "id")
    )
    looks: dict[int, list[LookTold]] = {}
    told = Look.objects.filter(damage__athlete_id=athlete.id, local_date__lte=last).order_by("local_date", "id")
    for key, *values in told.values_list("damage_id", "local_date", "stage", "pain", "opens_on_pull", "bled"):
        looks.setdefault(key, []).append(LookTold(*values))
    before: set[str] = set()
    found = []
    for row in rows:
        one = _damage(row, tuple(looks.get(row.id, ())), row.site in before, "notes" in athlete.shared)
        before.add(row.site)
        if one.sound_on is None or one.sound_on >= first:
            found.append(one)
    return tuple(found)


def _damage(row: Damage, looks: tuple[LookTold, ...], again: bool, notes: bool) -> DamageTold:
    return DamageTold(
        row.site, row.kind, row.noticed_on, row.depth, row.length_mm, row.width_mm, tuple(row.worries),
        row.cause if notes else None, looks, again,
    )  # fmt: skip


def care_done(athlete: AthleteRef, first: date, last: date) -> tuple[CareDone, ...] | None:
    """Care done, by form; without `damage` none that one does because of damage."""
    if "checkins" not in athlete.shared:
        return None
    rows = Care.objects.filter(athlete_id=athlete.id, status="done", local_date__range=(first, last))
    if "damage" not in athlete.shared:
        rows = rows.exclude(verb__in=DAMAGE_VERBS)
    told = rows.values_list("verb", "form", "reaction").annotate(
        n=Count("id"), a=Min("local_date"), b=Max("local_date")
    )
    found: dict[tuple[str, str], CareDone] = {}
    for verb, form, reaction, times, since, until in told:
        one = found.get((verb, form), CareDone(verb, form, 0, since, until, ()))
        found[verb, form] = CareDone(
            verb, form, one.times + times, min(one.first, since), max(one.last, until),
            (*one.reactions, reaction) if reaction not in ("", "none") else one.reactions,
        )  # fmt: skip
    return tuple(sorted(found.values(), key=lambda one: (one.verb, -one.times, one.form)))


def last_answers(athlete: AthleteRef, first: date, last: date) -> AnswersTold | None:
    """The newest check-in of those days; None where there is none, or where check-ins are not shared."""
    if "checkins" not in athlete.shared:
        return None
    row = CheckIn.objects.filter(athlete_id=athlete.id, local_date__range=(first, last)).order_by("-local_date").first()
    if row is None:
        return None
    return AnswersTold(
        row.local_date, row.pull_pain, tuple(row.red_flags), row.note if "notes" in athlete.shared else None
    )


def signoffs(athlete: AthleteRef, today: date) -> tuple[tuple[str, str, date, date | None], ...] | None:
    """(form, by whom, from, until) of what is cleared for use on the day."""
    if "checkins" not in athlete.shared:
        return None
    rows = Signoff.objects.filter(athlete_id=athlete.id, given_on__lte=today).exclude(until__lt=today)
    return tuple(rows.order_by("form", "by").values_list("form", "by", "given_on", "until"))


def sightings(athlete: AthleteRef, first: date, last: date) -> tuple[tuple[date, str, str], ...] | None:
    """(day, by whom, note) of what others saw, newest first; notes need `notes` beside `damage`."""
    if not {"damage", "notes"} <= athlete.shared:
        return None
    rows = Sighting.objects.filter(athlete_id=athlete.id, local_date__range=(first, last)).exclude(note="")
    return tuple(rows.order_by("-local_date", "-id").values_list("local_date", "by", "note"))


def answered_days(athlete: AthleteRef, first: date, last: date) -> int | None:
    """On how many of the days the athlete answered."""
    if "checkins" not in athlete.shared:
        return None
    return CheckIn.objects.filter(athlete_id=athlete.id, local_date__range=(first, last)).count()


def days_on(athlete: AthleteRef, first: date, last: date) -> tuple[tuple[str, int, float], ...] | None:
    """(surface, days, minutes known) of the sessions that were done, most days first."""
    if "checkins" not in athlete.shared:
        return None
    rows = Session.objects.filter(athlete_id=athlete.id, planned=False, local_date__range=(first, last))
    found: dict[str, tuple[set[date], float]] = {}
    for surface, day, minutes in rows.values_list("surface", "local_date", "minutes"):
        days, total = found.get(surface, (set(), 0.0))
        found[surface] = ({*days, day}, total + (minutes or 0.0))
    told = ((surface, len(days), total) for surface, (days, total) in found.items())
    return tuple(sorted(told, key=lambda one: (-one[1], one[0])))

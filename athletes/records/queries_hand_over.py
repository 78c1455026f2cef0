"""What a doctor or a federation is handed of one athlete, as frozen records. The athlete came through the door; what
is not shared is None, never empty. One query each, two for damage.
"""

from __future__ import annotations

from collections.abc import Sequence
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


def damage_of(
    athletes: Sequence[AthleteRef], first: date, last: date
) -> dict[int, tuple[DamageTold, ...] | None]:
    """By athlete's key: episodes noticed by the last day and not sound before the first, oldest first."""
    told = _sharing(athletes, "damage")
    rows = Damage.objects.filter(athlete_id__in=told, noticed_on__lte=last).order_by("noticed_on", "id")
    looks: dict[int, list[LookTold]] = {}
    seen = Look.objects.filter(damage__athlete_id__in=told, local_date__lte=last).order_by("local_date", "id")
    for key, *values in seen.values_list("damage_id", "local_date", "stage", "pain", "opens_on_pull", "bled"):
        looks.setdefault(key, []).append(LookTold(*values))
    before: set[tuple[int, str]] = set()
    found: dict[int, list[DamageTold]] = {key: [] for key in told}
    for row in rows:
        again = (row.athlete_id, row.site) in before
        one = _damage(row, tuple(looks.get(row.id, ())), again, "notes" in told[row.athlete_id].shared)
        before.add((row.athlete_id, row.site))
        if one.sound_on is None or one.sound_on >= first:
            found[row.athlete_id].append(one)
    return {ref.id: tuple(found[ref.id]) if ref.id in found else None for ref in athletes}


def _sharing(athletes: Sequence[AthleteRef], data_class: str) -> dict[int, AthleteRef]:
    return {ref.id: ref for ref in athletes if data_class in ref.shared}


def _damage(row: Damage, looks: tuple[LookTold, ...], again: bool, notes: bool) -> DamageTold:
    return DamageTold(
        row.site, row.kind, row.noticed_on, row.depth, row.length_mm, row.width_mm, tuple(row.worries),
        row.cause if notes else None, looks, again,
    )  # fmt: skip


def care_of(athletes: Sequence[AthleteRef], first: date, last: date) -> dict[int, tuple[CareDone, ...] | None]:
    """By athlete's key: care done, by form; without `damage` none that one does because of damage."""
    told = _sharing(athletes, "checkins")
    rows = Care.objects.filter(athlete_id__in=told, status="done", local_date__range=(first, last))
    sums = rows.values_list("athlete_id", "verb", "form", "reaction").annotate(
        n=Count("id"), a=Min("local_date"), b=Max("local_date")
    )
    found: dict[int, dict[tuple[str, str], CareDone]] = {key: {} for key in told}
    for key, verb, form, reaction, times, since, until in sums:
        if verb in DAMAGE_VERBS and "damage" not in told[key].shared:
            continue
        one = found[key].get((verb, form), CareDone(verb, form, 0, since, until, ()))
        found[key][verb, form] = CareDone(
            verb, form, one.times + times, min(one.first, since), max(one.last, until),
            (*one.reactions, reaction) if reaction not in ("", "none") else one.reactions,
        )  # fmt: skip
    return {
        ref.id: tuple(sorted(found[ref.id].values(), key=lambda one: (one.verb, -one.times, one.form)))
        if ref.id in found else None
        for ref in athletes
    }  # fmt: skip


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


def answered_of(athletes: Sequence[AthleteRef], first: date, last: date) -> dict[int, int | None]:
    """By athlete's key: on how many of the days they answered."""
    told = _sharing(athletes, "checkins")
    rows = CheckIn.objects.filter(athlete_id__in=told, local_date__range=(first, last)).order_by()
    found = dict(rows.values_list("athlete_id").annotate(n=Count("id")))
    return {ref.id: found.get(ref.id, 0) if ref.id in told else None for ref in athletes}


def days_on_of(
    athletes: Sequence[AthleteRef], first: date, last: date
) -> dict[int, tuple[tuple[str, int, float], ...] | None]:
    """By athlete's key: (surface, days, minutes known) of the sessions that were done, most days first."""
    told = _sharing(athletes, "checkins")
    rows = Session.objects.filter(athlete_id__in=told, planned=False, local_date__range=(first, last))
    found: dict[int, dict[str, tuple[set[date], float]]] = {key: {} for key in told}
    for key, surface, day, minutes in rows.values_list("athlete_id", "surface", "local_date", "minutes"):
        days, total = found[key].get(surface, (set(), 0.0))
        found[key][surface] = ({*days, day}, total + (minutes or 0.0))
    return {ref.id: _by_days(found[ref.id]) if ref.id in found else None for ref in athletes}


def _by_days(found: dict[str, tuple[set[date], float]]) -> tuple[tuple[str, int, float], ...]:
    sums = ((surface, len(days), total) for surface, (days, total) in found.items())
    return tuple(sorted(sums, key=lambda one: (-one[1], one[0])))


def ages(athletes: Sequence[AthleteRef], today: date) -> dict[int, int | None]:
    """By athlete's key: age in whole years, None where the birth date is not known."""
    rows = Athlete.objects.filter(id__in=[ref.id for ref in athletes]).values_list("id", "birth_date")
    return {key: age_years(born, today) for key, born in rows}

"""Words given and taken back. Whoever has no say over the athlete finds nobody there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from athletes.records import access, access_words, ages, by_name, choices
from athletes.records.access import PURPOSE_OF_ROLE, AthleteRef
from athletes.records.errors import BadInput
from athletes.records.models import Athlete, Consent, Role
from athletes.records.viewer import Viewer

LIVES_DAYS = 364
"""How long a word given here holds: never longer than twelve months."""


@dataclass(frozen=True)
class Text:
    """The text that was read when the word was given."""

    version: str
    digest: str
    locale: str


@dataclass(frozen=True)
class What:
    """Which role, or which one person in it, may see which class of data."""

    role: str
    data_class: str
    person: int | None = None


@dataclass(frozen=True)
class Word:
    """One live word."""

    id: int
    what: What
    by: str
    given_on: date
    until: date | None


@dataclass(frozen=True)
class Grantee:
    """Somebody in a squad of the athlete's who may be given a word."""

    role: str
    person: int
    name: str


def subject(viewer: Viewer, code: str | None) -> AthleteRef:
    """The athlete over whose words the viewer has a say: themselves, or a ward under 18. Raises NotFound."""
    return access.athlete_to_check_in(viewer, code)


def spoken_as(viewer: Viewer, athlete: AthleteRef) -> str:
    """`self` or `guardian`."""
    own = any(g.role == "athlete" and g.athlete_id == athlete.id for g in viewer.grants)
    return "self" if own else "guardian"


def grantees(athlete: AthleteRef) -> list[Grantee]:
    """Everybody who holds a role that a word can reach in a squad of the athlete's, by role and name."""
    rows = Role.objects.filter(role__in=list(PURPOSE_OF_ROLE), squad__memberships__athlete_id=athlete.id)
    found = {Grantee(*row) for row in rows.values_list("role", "person_id", "person__name")}
    return sorted(found, key=lambda one: (choices.ROLES.index(one.role), by_name.key(one.name), one.person))


def guardians(athlete: AthleteRef) -> list[str]:
    """Their names; none once the athlete is of age."""
    if not athlete.minor:
        return []
    rows = Role.objects.filter(role="guardian", athlete_id=athlete.id).order_by("person__name")
    return list(dict.fromkeys(rows.values_list("person__name", flat=True)))


def of_age_on(athlete: AthleteRef) -> date | None:
    """The athlete's eighteenth birthday, where the birth date is known."""
    return access_words.of_age_on(_born(athlete.id))


def live_words(athlete_id: int, today: date) -> list[Word]:
    """Every word that holds on the day, whether or not it is enough by itself, oldest first. A word from before the
    athlete was of age holds no more.
    """
    born = Athlete.objects.values_list("birth_date", flat=True).get(id=athlete_id)
    came = access_words.of_age_on(born)
    rows = _live(athlete_id, today).order_by("given_on", "id")
    if came is not None and came <= today:
        rows = rows.filter(given_on__gte=came).exclude(grantor_role="guardian")
    asked = ("id", "grantee_role", "data_class", "grantee_person", "grantor_role", "given_on", "until")
    return [Word(key, What(r, c, p), by, given, until) for key, r, c, p, by, given, until in rows.values_list(*asked)]


def _live(athlete_id: int, today: date) -> Any:
    first = today - timedelta(days=access_words.LONGEST_DAYS)
    rows = Consent.objects.filter(athlete_id=athlete_id, ends__isnull=True, ended_by__isnull=True)
    return rows.filter(given_on__gte=first).exclude(until__lt=today)


def give(viewer: Viewer, athlete: AthleteRef, what: Iterable[What], text: Text, now: datetime) -> int:
    """Store words where none of the same speaker's holds; returns how many. Raises BadInput.

    Below the age of the club's country a child's own word follows the guardian's and never goes before it.
    """
    by, today, born = spoken_as(viewer, athlete), now.date(), _born(athlete.id)
    stand = live_words(athlete.id, today)
    until, rows = _until(born, today), []
    for one in dict.fromkeys(what):
        _may_be_given(one, athlete)
        mine = [word for word in stand if word.what == one]
        if any(word.by in (by, "both") for word in mine):
            continue
        if by == "self" and athlete.minor and not mine and _too_young(athlete.id, born, today):
            raise BadInput("what", "guardian-first", f"{one.role}:{one.data_class}")
        rows.append(_row(athlete.id, one, by, viewer, now, until=until, text=text))
    return len(Consent.objects.bulk_create(rows))


def withdraw(viewer: Viewer, athlete: AthleteRef, what: Iterable[What], text: Text, now: datetime) -> int:
    """Take back every live word about these, whoever spoke it: either of two may end it. Returns how many."""
    asked, by = set(what), spoken_as(viewer, athlete)
    words = [word for word in live_words(athlete.id, now.date()) if word.what in asked]
    rows = [_row(athlete.id, word.what, by, viewer, now, ends=word.id, text=text) for word in words]
    return len(Consent.objects.bulk_create(rows))


def end_those_of_minors(today: date, now: datetime) -> int:
    """Take back what was given before an athlete came of age, and end their guardians' roles; returns how many."""
    born = Athlete.objects.filter(birth_date__lte=today - timedelta(days=18 * 365)).values_list("id", "birth_date")
    count = 0
    for athlete_id, day in born:
        came = access_words.of_age_on(day)
        if came is None or came > today:
            continue
        words = _live(athlete_id, today).filter(given_on__lt=came)
        rows = [
            _row(athlete_id, What(r, c, p), "both", None, now, ends=key, method="of-age")
            for key, r, c, p in words.values_list("id", "grantee_role", "data_class", "grantee_person")
        ]
        count += len(Consent.objects.bulk_create(rows))
        count += Role.objects.filter(role="guardian", athlete_id=athlete_id).delete()[0]
    return count


def _row(athlete_id: int, what: What, by: str, viewer: Viewer | None, now: datetime, **more: Any) -> Consent:
    text, ends = more.pop("text", Text("", "", "")), more.pop("ends", None)
    return Consent(
        athlete_id=athlete_id,
        grantor=viewer.person_id if viewer else None,
        grantor_role=by,
        grantee_role=what.role,
        grantee_person=what.person,
        data_class=what.data_class,
        purpose=PURPOSE_OF_ROLE[what.role],
        given_on=now.date(),
        made_at=now,
        text_version=text.version,
        text_hash=text.digest,
        locale=text.locale,
        ends_id=ends,
        **{"method": "page", **more},
    )


def _may_be_given(what: What, athlete: AthleteRef) -> None:
    known = what.role in PURPOSE_OF_ROLE and what.data_class in choices.DATA_CLASSES
    if known and what.person is not None:
        known = any((one.role, one.person) == (what.role, what.person) for one in grantees(athlete))
    if not known:
        raise BadInput("what", "unknown-code", f"{what.role}:{what.data_class}")


def _born(athlete_id: int) -> date | None:
    return Athlete.objects.values_list("birth_date", flat=True).get(id=athlete_id)


def _until(born: date | None, today: date) -> date:
    """The last day: 364 days on, or the day before the eighteenth birthday."""
    last, came = today + timedelta(days=LIVES_DAYS), access_words.of_age_on(born)
    return min(last, came - timedelta(days=1)) if came is not None and came > today else last


def _too_young(athlete_id: int, born: date | None, today: date) -> bool:
    rows = Athlete.objects.filter(id=athlete_id).values_list("memberships__squad__club__country", flat=True)
    youngest = max((ages.own_word_from(country or "") for country in rows), default=ages.own_word_from(""))
    age = access_words.age_years(born, today)
    return age is not None and age < youngest

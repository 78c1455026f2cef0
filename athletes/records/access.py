"""The only door: from an account to what it may see of whom. What may not be seen is not found.

An athlete sees everything of their own; a guardian everything of a ward under 18; anybody else what the
athlete's live consent shares with their role, in a squad that both belong to, for the purpose that the role
serves.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Q

from athletes.records import choices
from athletes.records.errors import NotFound
from athletes.records.models import Athlete, Consent, Membership, Role
from athletes.records.viewer import Grant, Viewer

__all__ = [
    "AthleteRef",
    "NotFound",
    "OPERATOR",
    "athlete_by_code",
    "athlete_to_check_in",
    "may_check_in",
    "own_athlete",
    "refs_visible",
    "shared_classes",
    "viewer_for",
]

EVERYTHING = frozenset(choices.DATA_CLASSES)
PURPOSE_OF_ROLE = {
    "head-coach": "coaching",
    "assistant": "coaching",
    "medical": "medical",
    "manager": "travel",
}
FULL_AGE_YEARS = 18


@dataclass(frozen=True)
class AthleteRef:
    """An athlete who has been let through the door, with the classes of data shared with the viewer."""

    id: int
    code: str
    name: str
    timezone: str
    dominant_hand: str | None
    minor: bool
    shared: frozenset[str]


def viewer_for(account: Any, today: date) -> Viewer:
    """The account's roles; none for an account that is signed out, closed or belongs to nobody."""
    person_id = getattr(account, "person_id", None)
    if not getattr(account, "is_active", False) or person_id is None:
        return Viewer(getattr(account, "pk", None), None, today)
    rows = Role.objects.filter(person_id=person_id).order_by("id")
    units = ("person__temperature_unit", "person__wind_unit")
    found = list(rows.values_list("role", "squad_id", "athlete_id", *units))
    grants = tuple(Grant(*row[:3]) for row in found)
    return Viewer(account.pk, person_id, today, grants, False, *(found[0][3:] if found else ()))


def OPERATOR(today: date) -> Viewer:  # noqa: N802 - a constant but for its day
    """The command line on the machine itself, which sees everything."""
    return Viewer(None, None, today, operator=True)


def age_years(birth_date: date | None, today: date) -> int | None:
    """Whole years of age; None where the birth date is not known."""
    if birth_date is None:
        return None
    return today.year - birth_date.year - ((today.month, today.day) < (birth_date.month, birth_date.day))


def is_minor(birth_date: date | None, today: date) -> bool:
    """Under 18. Somebody whose age is not known is not taken for a child: no guardian sees them."""
    age = age_years(birth_date, today)
    return age is not None and age < FULL_AGE_YEARS


def _of_role(viewer: Viewer, role: str) -> frozenset[int]:
    return frozenset(g.athlete_id for g in viewer.grants if g.role == role and g.athlete_id is not None)


def _squad_roles(viewer: Viewer) -> dict[int, set[str]]:
    """Roles that consent can reach, by squad."""
    found: dict[int, set[str]] = {}
    for grant in viewer.grants:
        if grant.squad_id is not None and grant.role in PURPOSE_OF_ROLE:
            found.setdefault(grant.squad_id, set()).add(grant.role)
    return found


def _wards(viewer: Viewer) -> frozenset[int]:
    """Athletes under 18 whose guardian the viewer is: one query, none where there is no such role."""
    wards = _of_role(viewer, "guardian")
    if not wards:
        return frozenset()
    births = Athlete.objects.filter(id__in=wards).values_list("id", "birth_date")
    return frozenset(i for i, born in births if is_minor(born, viewer.today))


def _consented(viewer: Viewer, athlete_ids: Iterable[int]) -> dict[int, set[str]]:
    """Classes shared by live consent: two queries whatever the number of athletes."""
    squads = _squad_roles(viewer)
    shared: dict[int, set[str]] = {}
    if not squads:
        return shared
    roles_over: dict[int, set[str]] = {}
    members = Membership.objects.filter(squad_id__in=list(squads), athlete_id__in=list(athlete_ids))
    for squad_id, athlete_id in members.values_list("squad_id", "athlete_id"):
        roles_over.setdefault(athlete_id, set()).update(squads[squad_id])
    for athlete_id, role, data_class, purpose in _live(viewer.today, list(roles_over)):
        if role in roles_over[athlete_id] and PURPOSE_OF_ROLE[role] == purpose:
            shared.setdefault(athlete_id, set()).add(data_class)
    return shared


def _live(today: date, athlete_ids: list[int]) -> Iterable[tuple[int, str, str, str]]:
    not_over = Q(until__isnull=True) | Q(until__gte=today)
    not_withdrawn = Q(withdrawn_on__isnull=True) | Q(withdrawn_on__gt=today)
    rows = Consent.objects.filter(not_over, not_withdrawn, athlete_id__in=athlete_ids, given_on__lte=today)
    return rows.values_list("athlete_id", "grantee_role", "data_class", "purpose")


def shared_classes(viewer: Viewer, athlete_ids: Iterable[int]) -> dict[int, frozenset[str]]:
    """Classes of data that each athlete shares with the viewer, empty where nothing: at most 3 queries."""
    ids = list(dict.fromkeys(athlete_ids))
    if viewer.operator:
        return dict.fromkeys(ids, EVERYTHING)
    full = _of_role(viewer, "athlete")
    if not full.issuperset(ids):
        full |= _wards(viewer)
    others = [i for i in ids if i not in full]
    consented = _consented(viewer, others) if others else {}
    return {i: EVERYTHING if i in full else frozenset(consented.get(i, ())) for i in ids}


def _candidates(viewer: Viewer) -> Any:
    if viewer.operator:
        return Athlete.objects.all()
    named = _of_role(viewer, "athlete") | _of_role(viewer, "guardian")
    in_squads = Membership.objects.filter(squad_id__in=list(_squad_roles(viewer))).values("athlete_id")
    return Athlete.objects.filter(Q(id__in=named) | Q(id__in=in_squads))


def refs_visible(viewer: Viewer, data_class: str = "level") -> list[AthleteRef]:
    """Everybody who shares the class with the viewer, by name: at most four queries."""
    rows = list(_candidates(viewer).order_by("name", "code"))
    shared = shared_classes(viewer, [row.id for row in rows])
    return [_as_ref(viewer, row, shared[row.id]) for row in rows if data_class in shared[row.id]]


def _as_ref(viewer: Viewer, row: Athlete, shared: frozenset[str]) -> AthleteRef:
    minor = is_minor(row.birth_date, viewer.today)
    return AthleteRef(row.id, row.code, row.name, row.timezone, row.dominant_hand or None, minor, shared)


def _ref(viewer: Viewer, data_class: str, **which: Any) -> AthleteRef:
    row = Athlete.objects.filter(**which).first()
    shared = shared_classes(viewer, [row.id])[row.id] if row else frozenset()
    if row is None or data_class not in shared:
        raise NotFound
    return _as_ref(viewer, row, shared)


def athlete_by_code(viewer: Viewer, code: str, data_class: str = "level") -> AthleteRef:
    """The athlete, where the class is shared. Raises NotFound alike where it is not and where there is
    nobody.
    """
    return _ref(viewer, data_class, code=code)


def own_athlete(viewer: Viewer) -> AthleteRef:
    """The athlete that the viewer is. Raises NotFound where they are none."""
    if viewer.own_athlete_id is None:
        raise NotFound
    return _ref(viewer, "level", id=viewer.own_athlete_id)


def may_check_in(viewer: Viewer, athlete: AthleteRef) -> bool:
    """Only the athlete answers, or the guardian of a minor."""
    if athlete.id in _of_role(viewer, "athlete"):
        return True
    return athlete.minor and athlete.id in _of_role(viewer, "guardian")


def athlete_to_check_in(viewer: Viewer, code: str | None = None) -> AthleteRef:
    """The athlete for whom the viewer may answer: themselves without a code, else by code. Raises NotFound
    otherwise.
    """
    ref = own_athlete(viewer) if code is None else athlete_by_code(viewer, code)
    if not may_check_in(viewer, ref):
        raise NotFound
    return ref

"""The only door: from an account to what it may see of whom. What may not be seen is not found.

An athlete sees everything of their own; a guardian everything of a ward under 18; support everything of one athlete
for an hour after breaking the glass; anybody else what the athlete's live consent shares with their role, in a squad
that both belong to, for the purpose that the role serves. Whoever is let through is noted (`access_seen`).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import Q

from athletes.records import access_seen, access_words, by_name, choices, often
from athletes.records.access_words import age_years, is_minor
from athletes.records.errors import NotFound
from athletes.records.models import Athlete, BrokenGlass, Membership
from athletes.records.viewer import Grant, Viewer

__all__ = [
    "AthleteRef",
    "NotFound",
    "OPERATOR",
    "age_years",
    "athlete_by_code",
    "athlete_to_check_in",
    "is_minor",
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
WORD = ("athlete_id", "grantee_role", "data_class", "purpose", "grantor_role", "given_on")


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


def viewer_for(account: Any, today: date, now: datetime | None = None) -> Viewer:
    """The account's roles; none for an account that is signed out, closed or belongs to nobody. For support, and only
    for them, `now` is looked up among the glass that they broke.
    """
    person_id = getattr(account, "person_id", None)
    if not getattr(account, "is_active", False) or person_id is None:
        return Viewer(getattr(account, "pk", None), None, today)
    found = often.roles(account)
    grants = tuple(Grant(*row[:3]) for row in found)
    if now is not None and any(grant.role == "support" for grant in grants):
        grants += _behind_glass(person_id, now)
    return Viewer(account.pk, person_id, today, grants, False, *(found[0][3:] if found else ()))


def _behind_glass(person_id: int, now: datetime) -> tuple[Grant, ...]:
    rows = BrokenGlass.objects.filter(person=person_id, opened_at__lte=now, ends_at__gt=now, closed_at__isnull=True)
    return tuple(Grant("support", None, athlete_id) for athlete_id in rows.values_list("athlete_id", flat=True))


def OPERATOR(today: date) -> Viewer:  # noqa: N802 - a constant but for its day
    """The command line on the machine itself, which sees everything."""
    return Viewer(None, None, today, operator=True)


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
    """Classes shared by live consent: two queries for any number of athletes."""
    squads = _squad_roles(viewer)
    shared: dict[int, set[str]] = {}
    if not squads:
        return shared
    roles_over: dict[int, set[str]] = {}
    members = Membership.objects.filter(squad_id__in=list(squads), athlete_id__in=list(athlete_ids))
    for squad_id, athlete_id in members.values_list("squad_id", "athlete_id"):
        roles_over.setdefault(athlete_id, set()).update(squads[squad_id])
    words = list(_live(viewer, list(roles_over)).values_list("athlete__birth_date", *WORD))
    born = {word[1]: word[0] for word in words}
    for athlete_id, role, data_class, purpose in access_words.standing((w[1:] for w in words), born, viewer.today):
        if role in roles_over[athlete_id] and PURPOSE_OF_ROLE[role] == purpose:
            shared.setdefault(athlete_id, set()).add(data_class)
    return shared


def _live(viewer: Viewer, athlete_ids: Any) -> Any:
    return access_words.live(viewer.today, athlete_ids, viewer.person_id)


def shared_classes(viewer: Viewer, athlete_ids: Iterable[int]) -> dict[int, frozenset[str]]:
    """Classes of data that each athlete shares with the viewer, empty where nothing: at most 3 queries."""
    ids = list(dict.fromkeys(athlete_ids))
    if viewer.operator:
        return dict.fromkeys(ids, EVERYTHING)
    full = _of_role(viewer, "athlete") | _of_role(viewer, "support")
    if not full.issuperset(ids):
        full |= _wards(viewer)
    others = [i for i in ids if i not in full]
    consented = _consented(viewer, others) if others else {}
    return {i: EVERYTHING if i in full else frozenset(consented.get(i, ())) for i in ids}


def _candidates(viewer: Viewer) -> Any:
    if viewer.operator:
        return Athlete.objects.all()
    named = _of_role(viewer, "athlete") | _of_role(viewer, "guardian") | _of_role(viewer, "support")
    in_squads = Membership.objects.filter(squad_id__in=list(_squad_roles(viewer))).values("athlete_id")
    return Athlete.objects.filter(Q(id__in=named) | Q(id__in=in_squads))


def refs_visible(viewer: Viewer, data_class: str = "level") -> list[AthleteRef]:
    """Everybody who shares the class with the viewer, by name: at most four queries."""
    rows = sorted(_candidates(viewer), key=lambda row: by_name.key(row.name, row.code))
    shared = shared_classes(viewer, [row.id for row in rows])
    return access_seen.noted(
        viewer, [_as_ref(viewer, row, shared[row.id]) for row in rows if data_class in shared[row.id]]
    )


def _as_ref(viewer: Viewer, row: Athlete, shared: frozenset[str]) -> AthleteRef:
    minor = is_minor(row.birth_date, viewer.today)
    return AthleteRef(row.id, row.code, row.name, row.timezone, row.dominant_hand or None, minor, shared)


def _ref(viewer: Viewer, data_class: str, key: str, value: str | int) -> AthleteRef:
    row = often.athlete(key, value)
    shared = shared_classes(viewer, [row.id])[row.id] if row else frozenset()
    if row is None or data_class not in shared:
        raise NotFound
    return access_seen.noted(viewer, [_as_ref(viewer, row, shared)])[0]


def athlete_by_code(viewer: Viewer, code: str, data_class: str = "level") -> AthleteRef:
    """The athlete, where the class is shared. Raises NotFound alike where it is not and where there is
    nobody.
    """
    return _ref(viewer, data_class, "code", code)


def own_athlete(viewer: Viewer) -> AthleteRef:
    """The athlete that the viewer is. Raises NotFound where they are none."""
    if viewer.own_athlete_id is None:
        raise NotFound
    return _ref(viewer, "level", "id", viewer.own_athlete_id)


def may_check_in(viewer: Viewer, athlete: AthleteRef) -> bool:
    """Only the athlete answers, or the guardian of a minor."""
    if athlete.id in _of_role(viewer, "athlete"):
        return True
    return athlete.minor and athlete.id in _of_role(viewer, "guardian")


def athlete_to_check_in(viewer: Viewer, code: str | None = None) -> AthleteRef:
    """The athlete for whom the viewer may answer: themselves without a code, else by code. Raises NotFound."""
    ref = own_athlete(viewer) if code is None else athlete_by_code(viewer, code)
    if not may_check_in(viewer, ref):
        raise NotFound
    return ref

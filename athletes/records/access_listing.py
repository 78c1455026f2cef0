"""The door for a list of many: the same rule as `access`, asked as parts that one query can carry.

Each part is a set of rows not yet asked for, so that whoever lists can join them into one question; `refs` then lets
through exactly those whom `access.refs_visible` would, with the same classes. A test holds the two together.
"""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import nullcontext
from datetime import date
from typing import Any

from django.core.exceptions import EmptyResultSet
from django.db import DEFAULT_DB_ALIAS

from athletes.records import access, access_seen, access_words, by_name, row_scope
from athletes.records.access import EVERYTHING, PURPOSE_OF_ROLE, AthleteRef
from athletes.records.models import Athlete, Membership, Squad
from athletes.records.viewer import Viewer

Member = tuple[int, int]
"""Keys of a squad and of an athlete in it."""
Person = tuple[int, str, str, str, str, date | None]
"""Key, code, name, time zone, dominant hand ("" not known) and birth date."""
Word = access_words.Word


def squads(viewer: Viewer) -> Any:
    """Rows of the squads in which the viewer holds a role; of every squad for the operator."""
    rows = Squad.objects.all()
    return rows if viewer.operator else rows.filter(id__in=_held(viewer))


def memberships(viewer: Viewer) -> Any:
    """Rows of who is in those squads."""
    rows = Membership.objects.all()
    return rows if viewer.operator else rows.filter(squad_id__in=_held(viewer))


def people(viewer: Viewer) -> Any:
    """Rows of the members themselves: whom of them the viewer may see, `refs` says."""
    return Athlete.objects.filter(id__in=memberships(viewer).values("athlete_id"))


def words(viewer: Viewer) -> Any:
    """Live consent of the members, to any of the viewer's roles."""
    reached = sorted({role for roles in access._squad_roles(viewer).values() for role in roles})
    live: Any = access._live(viewer, memberships(viewer).values("athlete_id"))
    return live.filter(grantee_role__in=reached)


def sharing(viewer: Viewer, data_class: str) -> Any:
    """Keys of members of whom something may be read at all: nobody else's conclusions need to be fetched."""
    if viewer.operator:
        return memberships(viewer).values("athlete_id")
    own = frozenset(grant.athlete_id for grant in viewer.grants if grant.athlete_id is not None)
    told = words(viewer).filter(data_class=data_class).values("athlete_id")
    return people(viewer).filter(id__in=told).values("id") | people(viewer).filter(id__in=own).values("id")


def before_looking(viewer: Viewer, data_class: str) -> Any:
    """A block whose statements reach the rows of health of those of whom `sharing` says that something may be read."""
    try:
        sql, values = sharing(viewer, data_class).query.get_compiler(DEFAULT_DB_ALIAS).as_sql()
    except EmptyResultSet:
        return nullcontext()
    return row_scope.and_those(sql, values)


def refs(
    viewer: Viewer, people: Iterable[Person], members: Iterable[Member], words: Iterable[Word], data_class: str
) -> list[AthleteRef]:
    """The people who share the class with the viewer, by name: what `access.refs_visible` gives of these people."""
    own, wards = access._of_role(viewer, "athlete"), access._of_role(viewer, "guardian")
    own |= access._of_role(viewer, "support")
    people = list(people)
    told = _told(viewer, members, words, {person[0]: person[5] for person in people})
    found = []
    for key, code, name, zone, hand, born in people:
        minor = access.is_minor(born, viewer.today)
        whole = viewer.operator or key in own or (minor and key in wards)
        shared = EVERYTHING if whole else told.get(key, frozenset())
        if data_class in shared:
            found.append(AthleteRef(key, code, name, zone, hand or None, minor, shared))
    return access_seen.noted(viewer, sorted(found, key=lambda ref: by_name.key(ref.name, ref.code)))


def _held(viewer: Viewer) -> list[int]:
    return sorted({grant.squad_id for grant in viewer.grants if grant.squad_id is not None})


def _told(
    viewer: Viewer, members: Iterable[Member], words: Iterable[Word], born: dict[int, date | None]
) -> dict[int, frozenset[str]]:
    """Classes by athlete: the role must be one that the viewer has in a squad of theirs, for the role's purpose."""
    roles = access._squad_roles(viewer)
    over: dict[int, set[str]] = {}
    for squad_id, athlete_id in members:
        over.setdefault(athlete_id, set()).update(roles.get(squad_id, ()))
    shared: dict[int, set[str]] = {}
    for athlete_id, role, data_class, purpose in access_words.standing(words, born, viewer.today):
        if role in over.get(athlete_id, ()) and PURPOSE_OF_ROLE[role] == purpose:
            shared.setdefault(athlete_id, set()).add(data_class)
    alike = {classes: classes for classes in map(frozenset, shared.values())}
    return {athlete_id: alike[frozenset(classes)] for athlete_id, classes in shared.items()}

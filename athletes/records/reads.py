"""The log of who could read what, written in one insert a request and read by the athlete."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import connection, transaction

from athletes.records.access import PURPOSE_OF_ROLE
from athletes.records.access_seen import Seen
from athletes.records.errors import NotFound
from athletes.records.models import AccessLog, AccessScope, Account, Athlete, BrokenGlass, Consent, Person, Role
from athletes.records.viewer import Viewer

_known: set[tuple[str, str]] = set()
"""Scopes that this process has seen stored; a scope that is not among them is stored again, which changes nothing."""
MOST_KNOWN = 10_000


@dataclass(frozen=True)
class Request:
    """When, which page or door by its name, by which method, and whether a program asked with a token."""

    at: datetime
    what: str
    method: str
    program: bool


@dataclass(frozen=True)
class Read:
    """One request as the athlete may know of it. `who` is empty where the person is no longer in the records."""

    at: datetime
    person: int | None
    who: str
    roles: tuple[str, ...]
    what: str
    method: str
    program: bool
    classes: tuple[str, ...]


@dataclass(frozen=True)
class Could:
    """A door that stood open within the time: whose, to whom, to which class, and why."""

    athlete: str
    who: str
    role: str
    data_class: str
    why: str


@dataclass(frozen=True)
class CouldRead:
    """`read`: requests with the athletes that each could read of; `could`: doors that stood open."""

    read: tuple[tuple[str, Read], ...]
    could: tuple[Could, ...]


def write(viewer: Viewer, seen: Seen, request: Request) -> None:
    """Keep that the viewer could read these."""
    rows = sorted((athlete_id, " ".join(sorted(classes))) for athlete_id, classes in seen.items())
    scope = hashlib.sha256(repr(rows).encode()).hexdigest()[:32]
    if (_database(), scope) not in _known:
        AccessScope.objects.bulk_create(
            [AccessScope(scope=scope, athlete_id=key, classes=classes) for key, classes in rows],
            ignore_conflicts=True,
        )
        transaction.on_commit(lambda: _know(scope))
    roles = sorted(viewer.roles() - {"athlete"})
    AccessLog.objects.create(
        at=request.at,
        account=viewer.account_id,
        person=viewer.person_id,
        roles=" ".join(roles),
        purpose=" ".join(sorted({PURPOSE_OF_ROLE.get(role, role) for role in roles})),
        what=request.what[:64],
        method=request.method[:8],
        program=request.program,
        scope=scope,
    )


def _know(scope: str) -> None:
    if len(_known) >= MOST_KNOWN:
        _known.clear()
    _known.add((_database(), scope))


def _database() -> str:
    return str(connection.settings_dict["NAME"])


def of_athlete(athlete_id: int, most: int) -> tuple[Read, ...]:
    """The newest requests that could read of the athlete."""
    open_to = dict(AccessScope.objects.filter(athlete_id=athlete_id).values_list("scope", "classes"))
    mine = AccessScope.objects.filter(athlete_id=athlete_id).values("scope")
    rows = list(AccessLog.objects.filter(scope__in=mine).order_by("-at", "-id")[:most])
    names = dict(Person.objects.filter(id__in={row.person for row in rows}).values_list("id", "name"))
    return tuple(_read(row, open_to.get(row.scope, ""), names) for row in rows)


def _read(row: Any, classes: str, names: Mapping[int | None, str]) -> Read:
    return Read(
        at=row.at,
        person=row.person,
        who=names.get(row.person, ""),
        roles=tuple(row.roles.split()),
        what=row.what,
        method=row.method,
        program=row.program,
        classes=tuple(classes.split()),
    )


def between(first: datetime, last: datetime, code: str | None, username: str | None) -> CouldRead:
    """Requests within the time, and doors that stood open: words of consent, guardians, support behind broken glass.

    Roles and memberships count as they are now, because the records keep no past ones; the requests that were made
    say as whom.
    """
    athletes = Athlete.objects.filter(code=code) if code else Athlete.objects.all()
    accounts = Account.objects.filter(username=username) if username else Account.objects.all()
    if (code and not athletes.exists()) or (username and not accounts.exists()):
        raise NotFound
    log = AccessLog.objects.filter(at__range=(first, last)).order_by("at", "id")
    if username:
        log = log.filter(account__in=accounts.values("id"))
    if code:
        log = log.filter(scope__in=AccessScope.objects.filter(athlete__in=athletes).values("scope"))
    people = accounts.filter(person__isnull=False).values("person_id") if username else Person.objects.values("id")
    return CouldRead(tuple(_asked(list(log), code)), tuple(sorted(_open(first, last, athletes, people), key=str)))


def _asked(log: list[Any], code: str | None) -> list[tuple[str, Read]]:
    scopes: dict[str, list[tuple[str, str]]] = {}
    rows = AccessScope.objects.filter(scope__in={row.scope for row in log})
    rows = rows.filter(athlete__code=code) if code else rows
    for scope, athlete, classes in rows.order_by("athlete__code").values_list("scope", "athlete__code", "classes"):
        scopes.setdefault(scope, []).append((athlete, classes))
    names = dict(Person.objects.filter(id__in={row.person for row in log}).values_list("id", "name"))
    return [(athlete, _read(row, classes, names)) for row in log for athlete, classes in scopes.get(row.scope, ())]


def _open(first: datetime, last: datetime, athletes: Any, people: Any) -> set[Could]:
    words = Consent.objects.filter(athlete__in=athletes, ends__isnull=True, given_on__lte=last.date())
    words = words.exclude(until__lt=first.date()).exclude(ended_by__given_on__lt=first.date())
    holders = Role.objects.filter(person_id__in=people, squad__memberships__athlete__in=athletes)
    by_role: dict[tuple[int, str], set[tuple[int, str]]] = {}
    asked = ("squad__memberships__athlete_id", "role", "person_id", "person__name")
    for athlete_id, role, person_id, name in holders.values_list(*asked):
        by_role.setdefault((athlete_id, role), set()).add((person_id, name))
    told = ("athlete_id", "athlete__code", "grantee_role", "grantee_person", "data_class", "grantor_role")
    found = {
        Could(athlete, name, role, data_class, by)
        for athlete_id, athlete, role, only, data_class, by in words.values_list(*told)
        for person_id, name in by_role.get((athlete_id, role), ())
        if only in (None, person_id)
    }
    guards = Role.objects.filter(role="guardian", athlete__in=athletes, person_id__in=people)
    found |= {Could(a, n, "guardian", "*", "ward") for a, n in guards.values_list("athlete__code", "person__name")}
    glass = BrokenGlass.objects.filter(athlete__in=athletes, opened_at__lte=last, ends_at__gte=first)
    glass = glass.filter(person__in=people).values_list("athlete__code", "person_name", "reason")
    return found | {Could(a, n, "support", "*", why) for a, n, why in glass}

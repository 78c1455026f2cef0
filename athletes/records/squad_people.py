"""Who belongs to a coach's squads or is a guardian's ward, as far as signing in goes: names and logins, no more."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import Q

from athletes.records import access, by_name, links
from athletes.records.errors import NotFound
from athletes.records.models import Account, Athlete, Membership, Role, Squad
from athletes.records.viewer import Viewer


@dataclass(frozen=True)
class Known:
    """One person: with a login or without, and whether somebody has to vouch for them."""

    key: str
    name: str
    roles: tuple[str, ...]
    squad_id: int | None
    athlete_id: int | None = None
    person_id: int | None = None
    account_id: int | None = None
    minor: bool = False
    vouch_needed: bool = False
    may_vouch: bool = False


@dataclass(frozen=True)
class Open:
    """A link to join that stands."""

    id: int
    name: str
    role: str
    over: str
    expires_at: datetime


def led(viewer: Viewer) -> frozenset[int]:
    """Squads that the viewer leads."""
    return frozenset(g.squad_id for g in viewer.grants if g.role == "head-coach" and g.squad_id is not None)


def wards(viewer: Viewer) -> frozenset[int]:
    """Athletes under 18 whose guardian the viewer is."""
    ids = [g.athlete_id for g in viewer.grants if g.role == "guardian" and g.athlete_id is not None]
    births = Athlete.objects.filter(id__in=ids).values_list("id", "birth_date") if ids else ()
    return frozenset(i for i, born in births if access.is_minor(born, viewer.today))


def anybody(viewer: Viewer) -> bool:
    """There is somebody whom the viewer may let in, or a squad to invite into."""
    return bool(led(viewer) or wards(viewer))


def known(viewer: Viewer) -> list[Known]:
    """Everybody whom the viewer may let in, athletes first, by name. Raises NotFound where there is nobody."""
    if not anybody(viewer):
        raise NotFound
    squads, own = led(viewer), wards(viewer)
    # Nobody signs in for an invented athlete: a real login would go with the sample.
    members = Membership.objects.filter(squad_id__in=squads, squad__sample=False)
    members = members.values_list("athlete_id", "squad_id")
    squad_of = dict(members)
    athletes = Athlete.objects.filter(Q(id__in=squad_of) | Q(id__in=own))
    selves = {r.athlete_id: r for r in _roles().filter(role="athlete", athlete__in=athletes)}
    ordered = sorted(athletes, key=lambda a: by_name.key(a.name, a.code))
    found = [_athlete(viewer, a, squad_of.get(a.id), selves.get(a.id)) for a in ordered]
    staff: dict[int, list[Role]] = {}
    for role in _roles().filter(Q(squad_id__in=squads) | Q(role="guardian", athlete_id__in=squad_of)):
        if role.role != "athlete":
            staff.setdefault(role.person_id, []).append(role)
    return found + sorted((_other(viewer, rows) for rows in staff.values()), key=lambda k: (by_name.key(k.name), k.key))


def _roles() -> Any:
    return Role.objects.select_related("person__account").order_by("id")


def _account(role: Role | None) -> Account | None:
    return getattr(role.person, "account", None) if role else None


def _vouching(viewer: Viewer, account: Account | None) -> dict[str, bool]:
    held = account is not None and account.vouch_needed_since is not None
    others = account is not None and viewer.account_id not in (account.vouch_of_id, account.pk)
    return {"vouch_needed": held, "may_vouch": held and others}


def _athlete(viewer: Viewer, row: Athlete, squad_id: int | None, role: Role | None) -> Known:
    account, minor = _account(role), access.is_minor(row.birth_date, viewer.today)
    person_id, account_id = role.person_id if role else None, account.pk if account else None
    common = (squad_id, row.id, person_id, account_id, minor)
    return Known(f"a{row.id}", row.name, ("athlete",), *common, **_vouching(viewer, account))


def _other(viewer: Viewer, rows: list[Role]) -> Known:
    first, account = rows[0], _account(rows[0])
    roles = tuple(dict.fromkeys(row.role for row in rows))
    ids = (first.squad_id, None, first.person_id, account.pk if account else None)
    return Known(f"p{first.person_id}", first.person.name, roles, *ids, **_vouching(viewer, account))


def one(viewer: Viewer, key: str) -> Known:
    """The one with the key. Raises NotFound alike for a stranger and for nobody."""
    for found in known(viewer):
        if found.key == key:
            return found
    raise NotFound


def squads(viewer: Viewer) -> list[tuple[int, str]]:
    """Squads that the viewer leads, by name."""
    return list(Squad.objects.filter(id__in=led(viewer), sample=False).order_by("name", "id").values_list("id", "name"))


def open_links(viewer: Viewer, now: datetime) -> list[Open]:
    """Links to join the viewer's squads that stand, the newest first."""
    rows = _links(viewer, now).select_related("athlete").order_by("-made_at", "-id")
    return [Open(r.pk, r.name, r.role, r.athlete.name if r.athlete else "", r.expires_at) for r in rows]


def revoke(viewer: Viewer, link_id: int, now: datetime) -> None:
    """End a link. Raises NotFound."""
    if not _links(viewer, now).filter(pk=link_id).update(revoked_at=now):
        raise NotFound


def _links(viewer: Viewer, now: datetime) -> Any:
    return links.standing(now).filter(kind="join", squad_id__in=led(viewer))


def ids(squad_code: str | None, athlete_code: str | None) -> tuple[int | None, int | None]:
    """Keys of a squad and an athlete by their codes, None for what is not named. Raises NotFound."""
    squad = Squad.objects.filter(code=squad_code).values_list("id", flat=True).first() if squad_code else None
    athlete = Athlete.objects.filter(code=athlete_code).values_list("id", flat=True).first() if athlete_code else None
    if (squad_code and squad is None) or (athlete_code and athlete is None):
        raise NotFound
    return squad, athlete

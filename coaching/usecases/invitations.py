"""Let people in: links with which somebody takes up a role, or sets a new password."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext

from athletes.records import joining, links, squad_people
from athletes.records.errors import BadInput, NotFound
from athletes.records.joining import Invited
from athletes.records.links import Link
from athletes.records.squad_people import Known, Open
from athletes.records.viewer import Viewer
from coaching.usecases import clock

__all__ = ["Known", "Link", "Open", "People", "invite", "invite_as_operator", "join", "lets_in", "people", "reset",
           "reset_link", "reset_link_as_operator", "revoke", "standing", "vouch"]  # fmt: skip
STAFF = joining.SQUAD_ROLES


@dataclass(frozen=True)
class People:
    """Whom the viewer may let in, which links stand, and the squads they may invite into."""

    known: list[Known]
    open: list[Open]
    squads: list[tuple[int, str]]


def lets_in(viewer: Viewer) -> bool:
    """The viewer leads a squad or is the guardian of somebody under 18."""
    return squad_people.anybody(viewer)


def people(viewer: Viewer) -> People:
    """Raises NotFound for whoever leads no squad and is nobody's guardian."""
    known = squad_people.known(viewer)
    return People(known, squad_people.open_links(viewer, clock.now()), squad_people.squads(viewer))


def invite(viewer: Viewer, role: str, name: str, key: str = "", squad_id: int | None = None) -> str:
    """The text of a link for a role of the viewer's squad: a coach invites staff by name, athletes and the guardians of
    minors by the athlete's key. Raises NotFound and BadInput.
    """
    led = dict(squad_people.squads(viewer))
    if role in STAFF:
        squad = squad_id if squad_id is not None else next(iter(led), None)
        if squad not in led:
            raise NotFound
        return joining.invite(Invited(name, role, squad), viewer.account_id, clock.now())
    over = squad_people.one(viewer, key)
    if role not in joining.OVER_ATHLETES or over.athlete_id is None or over.squad_id not in led:
        raise NotFound
    if role == "guardian" and not over.minor:
        raise BadInput("athlete", gettext("is not under 18, or the birth date is not known"))
    person = over.person_id if role == "athlete" else None
    named = over.name if role == "athlete" else name
    whom = Invited(named, role, over.squad_id, over.athlete_id, person)
    return joining.invite(whom, viewer.account_id, clock.now())


def invite_as_operator(squad_code: str | None, role: str, name: str, athlete_code: str | None) -> str:
    """The same from the command line, for every role. Raises NotFound and BadInput."""
    squad_id, athlete_id = squad_people.ids(squad_code, athlete_code)
    if squad_id is None and role not in ("support", *joining.OVER_ATHLETES):
        raise BadInput("squad", gettext("is missing"))
    return joining.invite(Invited(name, role, squad_id, athlete_id), None, clock.now())


def reset_link(viewer: Viewer, key: str) -> str:
    """The text of a link for a new password of somebody whom the viewer lets in; nobody makes one for themselves.
    Raises NotFound.
    """
    known = squad_people.one(viewer, key)
    if known.account_id is None or known.account_id == viewer.account_id:
        raise NotFound
    return links.make("reset", clock.now(), viewer.account_id, links.RESET_FOR, account_id=known.account_id)


def reset_link_as_operator(account_id: int) -> str:
    """The same from the command line; nobody has to vouch afterwards."""
    return links.make("reset", clock.now(), None, links.RESET_FOR, account_id=account_id)


def revoke(viewer: Viewer, link_id: int) -> None:
    """End a link of the viewer's squads. Raises NotFound."""
    squad_people.revoke(viewer, link_id, clock.now())


def vouch(viewer: Viewer, key: str) -> None:
    """Say that somebody whose password was set anew is who they should be. Raises NotFound, also for whoever made the
    link.
    """
    known = squad_people.one(viewer, key)
    if known.account_id is None or not joining.vouch(known.account_id, viewer.account_id or 0):
        raise NotFound


def standing(kind: str, text: str) -> Link | None:
    """What a link is for; None alike for every link that does not stand."""
    row = links.find(kind, text, clock.now())
    return links.shown(row) if row else None


def join(text: str, username: str, password: str) -> Any:
    """Take up the role of a link; returns the account. An athlete's may be without a password. Raises NotFound and
    BadInput.
    """
    row = links.find("join", text, clock.now())
    if row is None:
        raise NotFound
    return joining.join(row, username, password, clock.now())


def reset(text: str, password: str) -> str:
    """Set the new password of a link; returns the name to sign in with. Raises NotFound and BadInput."""
    row = links.find("reset", text, clock.now())
    if row is None:
        raise NotFound
    return str(joining.reset(row, password, clock.now()).username)

"""What somebody asked to be reminded of, and where: shown, changed, ended."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

from django.core import signing
from django.core.exceptions import ValidationError
from django.core.validators import validate_email

from athletes.records import access, reminders
from athletes.records.errors import BadInput, NotFound
from athletes.records.reminders import Address, Way, Wish
from athletes.records.viewer import Viewer
from coaching.usecases import clock, limits
from coaching.usecases.morning_list import COACHING
from coaching.usecases.reminding import hours, ways
from coaching.usecases.reminding.webpush import Browser

OF_ATHLETE = ("morning", "session", "step", "look")
OF_COACH = ("moved",)
USUAL = {"morning": 7 * 60 + 15, "session": 20 * 60, "step": 18 * 60, "look": 8 * 60, "moved": 7 * 60 + 30}
"""Minute of the day that the form offers for each kind; none is asked for until somebody does."""
CONFIRM, STOP = "tenpads reminders confirm", "tenpads reminders stop"
CONFIRM_S = 3 * 86_400
LONGEST_MAIL = 190


@dataclass(frozen=True)
class Asked:
    """The whole page: kinds that can be asked for, what is asked for, and the ways that the installation has."""

    kinds: tuple[str, ...]
    minutes: dict[str, int]
    way: Way
    addresses: list[Address]
    push_key: str
    mail: bool


def asked(account: Any, viewer: Viewer) -> Asked:
    found = reminders.way(account.pk)
    zone = found.timezone or _zone(viewer)
    return Asked(
        kinds(viewer),
        {wish.kind: wish.minute for wish in reminders.wishes(account.pk)},
        replace(found, timezone=zone),
        reminders.addresses(account.pk),
        ways.push_key(),
        ways.mail_on(),
    )


def kinds(viewer: Viewer) -> tuple[str, ...]:
    """Kinds that mean something to the viewer."""
    own = OF_ATHLETE if viewer.own_athlete_id is not None else ()
    return own + (OF_COACH if viewer.roles() & COACHING else ())


def ask(account: Any, viewer: Viewer, minutes: Mapping[str, int], zone: str, quiet_from: int, quiet_to: int) -> None:
    """Ask for these kinds at these minutes and for no other. Raises BadInput naming the field: an hour that is quiet,
    a kind that is not the viewer's, a zone that is none.
    """
    if not hours.known(zone):
        raise BadInput("timezone", "unknown-code", zone)
    if set(minutes) - set(kinds(viewer)):
        raise BadInput("kind", "unknown-code", None)
    for kind, minute in minutes.items():
        if hours.quiet(minute, quiet_from, quiet_to):
            raise BadInput(kind, "quiet", minute)
    now = clock.now()
    way = replace(reminders.way(account.pk), timezone=zone, quiet_from=quiet_from, quiet_to=quiet_to)
    before = {wish.kind: wish for wish in reminders.wishes(account.pk)}
    found = []
    for kind, minute in minutes.items():
        # A day that a kind has come on already brings it no second time, whatever hour and zone it is moved to.
        after = before[kind].due_on - timedelta(days=1) if kind in before else None
        found.append(Wish(kind, minute, *hours.next_due(minute, zone, now, after)))
    reminders.save(account.pk, way, found)


def ask_mail(account: Any, mail_to: str) -> None:
    """Send a letter to that address with a link that confirms it; nothing else goes there before. Raises BadInput."""
    try:
        validate_email(mail_to)
    except ValidationError as error:
        raise BadInput("mail", "no-address", None) from error
    if len(mail_to) > LONGEST_MAIL or not ways.mail_on():
        raise BadInput("mail", "no-address", None)
    if limits.allowed(limits.LETTER, account.pk):
        raise BadInput("mail", "too-often", None)
    reminders.set_mail(account.pk, mail_to, confirmed=False)
    ways.send_confirmation(mail_to, signing.dumps(_about(account.pk, mail_to), salt=CONFIRM))


def no_mail(account: Any) -> None:
    """Forget the address."""
    reminders.set_mail(account.pk, "", confirmed=False)


def confirmed(token: str) -> bool:
    """The link of the letter was opened; with `confirm` below it counts. False for one that does not stand."""
    return _meant(token, CONFIRM, CONFIRM_S) is not None


def confirm(token: str) -> None:
    """Messages may go to the address. Raises NotFound."""
    account_id, mail_to = _found(token, CONFIRM, CONFIRM_S)
    reminders.set_mail(account_id, mail_to, confirmed=True)


def stops(token: str) -> bool:
    """A letter's link that ends letters stands."""
    return _meant(token, STOP, None) is not None


def stop(token: str) -> None:
    """No more letters to the address (RFC 8058: one tap, no questions). Raises NotFound."""
    account_id, _ = _found(token, STOP, None)
    reminders.set_mail(account_id, "", confirmed=False)


def stop_token(account_id: int, mail_to: str) -> str:
    return signing.dumps(_about(account_id, mail_to), salt=STOP)


def add_browser(account: Any, browser: Browser, label: str) -> None:
    """Messages go to this browser from now on. Raises BadInput for one that is none of a maker's whom we know."""
    if not ways.push_key() or not ways.takes(browser):
        raise BadInput("endpoint", "unknown-code", None)
    told = (browser.endpoint, browser.p256dh, browser.auth, label)
    if not reminders.add_address(account.pk, *told, clock.now()):
        raise BadInput("endpoint", "too-many", None)


def drop_browser(account: Any, address_id: int) -> None:
    """Raises NotFound."""
    reminders.drop_address(account.pk, address_id)


def _zone(viewer: Viewer) -> str:
    return access.own_athlete(viewer).timezone if viewer.own_athlete_id is not None else "UTC"


def _about(account_id: int, mail_to: str) -> list[Any]:
    """What a link says: an account and a digest of the address, which may have become another since."""
    return [account_id, hashlib.sha256(mail_to.encode()).hexdigest()[:24]]


def _meant(token: str, salt: str, max_age: int | None) -> tuple[int, str] | None:
    try:
        account_id, digest = signing.loads(token, salt=salt, max_age=max_age)
    except (signing.BadSignature, ValueError, TypeError):
        return None
    mail_to = reminders.way(account_id).mail_to
    return (account_id, mail_to) if mail_to and _about(account_id, mail_to)[1] == digest else None


def _found(token: str, salt: str, max_age: int | None) -> tuple[int, str]:
    found = _meant(token, salt, max_age)
    if found is None:
        raise NotFound
    return found

"""A head coach changes a range or a wording of the club's rulebook, from a day on and with a reason."""

from __future__ import annotations

from datetime import date, datetime

from django.utils.translation import gettext

from athletes.records import queries_rules, writes_rules
from athletes.records.errors import BadInput, NotFound
from athletes.records.viewer import Viewer
from coaching.rules import overrides, rulebook
from coaching.rules.overrides import Change, Value
from coaching.rules.rulebook import RulebookError
from coaching.usecases import clock
from coaching.usecases.storing import storing


def may(viewer: Viewer) -> bool:
    """Whether the viewer leads a squad of any club."""
    return bool(viewer.roles() & queries_rules.CHANGERS)


def change_rule(viewer: Viewer, change: Change, now: datetime | None = None) -> int:
    """Store it for every club whose squads the viewer leads; their athletes are computed anew. Raises NotFound for
    whoever leads none, and BadInput for what is not a club's to change, has no reason, or begins in the past.
    """
    at = now or clock.now()
    clubs = queries_rules.clubs(viewer, queries_rules.CHANGERS)
    if not clubs:
        raise NotFound
    if change.from_day < viewer.today:
        raise BadInput("from_day", gettext("is past; a rule holds from today on at the earliest"), change.from_day)
    try:
        overrides.checked(rulebook.current(), change)
    except RulebookError as refused:
        raise BadInput(change.key, str(refused), change.value) from None
    for club_id in clubs:
        with storing(queries_rules.athletes_of(club_id), at):
            key = _stored(viewer, club_id, change, at)
    return key


def _stored(viewer: Viewer, club_id: int, change: Change, at: datetime) -> int:
    value = list(change.value) if isinstance(change.value, tuple) else change.value
    return writes_rules.store_rule_change(
        club_id=club_id, rule=change.rule, key=change.key, value=value, from_day=change.from_day,
        reason=change.reason.strip(), made_at=at, by_id=viewer.account_id,
    )  # fmt: skip


def value_of(key: str, text: str) -> Value:
    """What was typed, as the rulebook holds it: two whole numbers for a range, one for days, else the wording. Raises
    BadInput.
    """
    if "text" in overrides.limits().get(key, {"text": ()}):
        return text.strip()
    try:
        numbers = tuple(int(word) for word in text.replace(",", " ").replace("-", " ").split())
    except ValueError:
        numbers = ()
    if key in overrides.RANGES and len(numbers) == 2:
        return numbers[0], numbers[1]
    if key not in overrides.RANGES and len(numbers) == 1:
        return numbers[0]
    raise BadInput(key, gettext("must be two whole numbers for a range, one for days"), text)


def day_of(text: str) -> date:
    """Raises BadInput."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise BadInput("from_day", gettext("must be a day"), text) from None

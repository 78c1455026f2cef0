"""What a phone may keep until there is a signal: the body of each kind, what it tells of, and who stores it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any

from rest_framework import serializers

from api.v1 import answers_in, delivered_care, delivered_pocket, made_once
from api.v1.answers_in import CheckInIn
from api.v1.fields import Truth
from api.v1.sessions import SessionIn
from athletes.records import choices, deliveries
from athletes.records.errors import BadInput
from athletes.records.photos.cleaning import Clean
from athletes.records.viewer import Viewer
from coaching.rules.medical import UNNAMED_SIGN
from coaching.usecases import keep_look, record_checkin, record_session
from coaching.usecases.answers import CheckInAnswers
from coaching.usecases.deliver import Folds
from coaching.usecases.folding import Folding

Body = Mapping[str, Any]
Store = Callable[[Viewer, str, Mapping[str, Any], date], bool]


@dataclass(frozen=True)
class Kind:
    """`about` names the thing that a body tells of; entries about the same thing fold, where `folds` says how. A
    program's token needs `scope`; a phone's stores every kind of its athlete's own. `told_in` is the kind among whose
    entries it stands, where that is another, `as_told` its body there, `beside` stores what that body does not say.
    """

    body: type[serializers.Serializer]
    about: Callable[[Body], str]
    store: Store
    folds: Folds | None = None
    scope: str = "write"
    told_in: str = ""
    as_told: Callable[[Body], Body] = dict
    beside: Callable[[Viewer, str, Body], None] | None = None


class DeliveredCheckInIn(CheckInIn):
    """A check-in; `sign_unnamed` says that something looks infected and no sign was ticked."""

    sign_unnamed = Truth(required=False, allow_null=True)
    looks = delivered_care.DeliveredLookIn(many=True, required=False)


class DeliveredSessionIn(SessionIn):
    """A session that was done."""

    planned = None


def _answers(given: Body) -> CheckInAnswers:
    unnamed = [UNNAMED_SIGN] if given.get("sign_unnamed") else []
    return answers_in.answers({**given, "note": "\n".join(filter(None, [given.get("note", ""), *unnamed]))})


def _check_in(viewer: Viewer, code: str, given: Body, last_day: date) -> bool:
    answers = _answers(given)
    try:
        return record_checkin.record_checkin(viewer, code, answers, last_day=last_day).corrected
    except BadInput as error:
        raise answers_in.placed(error, answers) from error


def _look(viewer: Viewer, code: str, given: Body, last_day: date) -> bool:
    return keep_look.keep_looks(viewer, code, _answers(given), last_day)


def _session(viewer: Viewer, code: str, given: Mapping[str, Any], last_day: date) -> bool:
    return record_session.record_session(viewer, code, {**given, "planned": False}, last_day=last_day).corrected


CHECK_IN = Folding(
    united=frozenset({"red_flags"}),
    either=frozenset({"sign_unnamed"}),
    keyed={"looks": ("episode_id",), "damage": ("site", "kind")},
)
KINDS: dict[str, Kind] = {
    "check-in": Kind(
        DeliveredCheckInIn, lambda body: str(body["local_date"]), _check_in,
        Folds(CHECK_IN, deliveries.checkin_standing), scope="checkins",
    ),
    "look": Kind(
        delivered_care.LookNoteIn, lambda body: str(body["local_date"]), _look,
        Folds(CHECK_IN, deliveries.checkin_standing),
        told_in="check-in", as_told=delivered_care.as_check_in, beside=delivered_care.photo_beside,
    ),
    "step": Kind(
        delivered_care.StepIn, delivered_care.about_step, delivered_care.step,
        Folds(Folding(), deliveries.step_standing),
    ),
    "tap": Kind(delivered_pocket.TapIn, lambda body: str(body["local_date"]), delivered_pocket.tap),
    "damage": Kind(delivered_pocket.DamageNoteIn, lambda body: str(body["local_date"]), delivered_pocket.damage),
    "session": Kind(
        DeliveredSessionIn, lambda body: f"{body['local_date']} {body['ordinal']}", _session,
        Folds(Folding(), deliveries.session_standing),
    ),
}  # fmt: skip
PHONE = choices.DEVICE_SCOPE


def read(kind: Kind, body: Any) -> Mapping[str, Any]:
    """The body as its kind reads it. Raises ValidationError with each place within `body`."""
    given = made_once.of(kind.body, data=body)
    if not given.is_valid():
        raise serializers.ValidationError({"body": given.errors})
    found: Mapping[str, Any] = given.validated_data
    return found


def plain(value: Any) -> Any:
    """The body as it is kept: instants in UTC, days and instants as text."""
    if isinstance(value, Clean):
        return delivered_pocket.named(value)
    if isinstance(value, Mapping):
        return {name: plain(part) for name, part in value.items() if part is not None}
    if isinstance(value, list | tuple):
        return [plain(part) for part in value]
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    return value.isoformat() if isinstance(value, date) else value


class AnyBody(serializers.DictField):
    """An object whose parts the kind reads."""



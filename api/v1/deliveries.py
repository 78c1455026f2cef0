"""Entries that a phone kept while there was no signal, taken one at a time, late, twice and in any order."""

from __future__ import annotations

from functools import partial
from typing import Any

from django.utils.translation import gettext_lazy as _
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api.v1 import delivered_kinds, described, keyed
from api.v1.delivered_kinds import KINDS, AnyBody
from api.v1.fields import Code, Instant, Number, StrictSerializer, Text, Whole
from api.v1.operations import Operation
from api.v1.parsing import WithPhotoJSON
from athletes.records import access
from athletes.records.errors import BadInput
from athletes.records.viewer import Viewer
from coaching.usecases import deliver

LARGEST = 2**53 - 1
"""Whole numbers that a browser can count without a gap (ECMA-262, Number.MAX_SAFE_INTEGER)."""


class DeliveryIn(StrictSerializer):
    """One entry. `seq` is higher than that of every entry the phone has made or seen; `device` tells phones apart. The
    time on the phone, what it was behind the server by, and its zone are kept beside it.
    """

    kind = Code(sorted(KINDS))
    device = serializers.RegexField(r"\A[0-9a-f]{8,32}\Z")
    seq = Whole(min_value=1, max_value=LARGEST)
    body = AnyBody()
    said_at = Instant(required=False, allow_null=True)
    skew_s = Number(required=False, allow_null=True)
    timezone = Text(max_length=64, required=False, allow_blank=True, default="")

    def validate(self, attrs: Any) -> Any:
        """Reads the body as its kind does: before any transaction, because a photo takes its time."""
        return {**attrs, "told": delivered_kinds.read(KINDS[attrs["kind"]], attrs["body"])}


class DeliveryOut(serializers.Serializer):
    """`seen` is the highest number that has arrived of the athlete: count on from there."""

    athlete_id = serializers.CharField()
    kind = serializers.CharField()
    about = serializers.CharField()
    corrected = serializers.BooleanField()
    seen = serializers.IntegerField()


class PostDelivery(Operation):
    parser_classes = [WithPhotoJSON]

    @described.posts("postDelivery", DeliveryIn, DeliveryOut, corrects=True)
    def post(self, request: Request, athlete_id: str) -> Response:
        """Store an entry that was made without a signal; 200 where it changed what stood.

        Whatever the order of arrival, what stands is the fold of all entries by number; every change leaves a trace.
        """
        how = keyed.Post(_scope(request), DeliveryIn, partial(_may, athlete_id), partial(_store, athlete_id))
        return keyed.post(request, how)


def _scope(request: Request) -> str:
    """A phone's token stores whatever is its athlete's own to tell; a program's needs what the kind asks for."""
    phone = request.auth is not None and delivered_kinds.PHONE in request.auth.scopes
    asked = request.data.get("kind") if isinstance(request.data, dict) else None
    kind = KINDS.get(asked) if isinstance(asked, str) else None
    return "checkins" if phone or kind is None else kind.scope


def _may(athlete_id: str, viewer: Viewer, given: keyed.Given) -> None:
    access.athlete_to_check_in(viewer, athlete_id)


def _store(athlete_id: str, viewer: Viewer, given: keyed.Given) -> keyed.Stored:
    _may(athlete_id, viewer, given)
    kind = KINDS[given["kind"]]
    told_in = kind.told_in or given["kind"]
    body = delivered_kinds.plain(kind.as_told(given["told"]))
    entry = deliver.Entry(
        told_in, kind.about(body), given["device"], given["seq"], body,
        given.get("said_at"), given.get("skew_s"), given["timezone"],
    )  # fmt: skip

    def store(whole: Any, last_day: Any) -> bool:
        told = delivered_kinds.read(KINDS[told_in], whole) if kind.folds else given["told"]
        corrected = kind.store(viewer, athlete_id, told, last_day)
        if kind.beside:
            kind.beside(viewer, athlete_id, given["told"])
        return corrected

    try:
        taken = deliver.deliver(viewer, athlete_id, entry, kind.folds, store)
    except BadInput as error:
        raise _placed(error) from error
    told = {"athlete_id": athlete_id, "kind": given["kind"], "about": entry.about}
    out = DeliveryOut({**told, "corrected": taken.corrected, "seen": taken.seen})
    return keyed.Stored(out.data, taken.athlete.id, taken.corrected)


def _placed(error: BadInput) -> BadInput:
    """The error with its place in what was sent."""
    if error.field == "seq":
        return error
    field = f"body/{error.field}" if error.field else "body"
    remedy = error.remedy
    if error.field == "local_date":
        remedy = remedy or str(_("say which day it was for; the phone’s clock may be wrong"))
    return BadInput(field, error.problem, error.value, remedy)

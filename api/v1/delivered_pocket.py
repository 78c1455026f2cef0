"""What is told on the spot and kept by a phone: taps of a tally, and a note of damage with its photo. Each entry
stands by itself: a tap has a key of its own, and the same damage of the same day is one episode.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
from collections.abc import Mapping
from datetime import date
from typing import Any

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from api.v1.fields import Code, Day, Instant, Number, Site, StrictSerializer, Text, Truth, Whole
from athletes.records import choices
from athletes.records.errors import BadInput
from athletes.records.photos import keeping
from athletes.records.photos.cleaning import Clean, cleaned
from athletes.records.photos.shape import MOST_BYTES, Refused
from athletes.records.taps import TapTold
from athletes.records.viewer import Viewer
from coaching.usecases import tally
from coaching.usecases.note_damage import Note, Signs, note_damage
from coaching.wording import damage_note


@extend_schema_field({"type": "string", "contentEncoding": "base64"})
class Photo(serializers.Field):
    """A picture in base64, made anew before anything else looks at it."""

    def to_internal_value(self, data: Any) -> Clean:
        text = data.partition(",")[2] if isinstance(data, str) and data.startswith("data:") else data
        try:
            if not isinstance(text, str) or len(text) > MOST_BYTES * 4 // 3 + 4:
                raise Refused("too-big")
            return cleaned(base64.b64decode(text, validate=True))
        except binascii.Error:
            raise serializers.ValidationError(_("Not a picture in base64.")) from None
        except Refused as refused:
            raise serializers.ValidationError(damage_note.photo_refused(refused.code)) from None

    def to_representation(self, value: Any) -> str:
        return str(value)


class TapIn(StrictSerializer):
    """One tap; `back` takes the one of that key back."""

    key = Text(max_length=64)
    local_date = Day()
    ordinal = Whole(min_value=1, max_value=9)
    what = Code(choices.TAPS)
    at = Instant()
    surface = Code(choices.SURFACES, required=False, allow_null=True)
    back = Truth(required=False, default=False)


class DamageNoteIn(StrictSerializer):
    """New damage as whoever has it sees it; left out or null is not answered. `local_date` is the day on which it was
    noticed, `seen_on` that on which it was told, today unless it says otherwise.
    """

    local_date = Day()
    seen_on = Day(required=False, allow_null=True)
    site = Site()
    kind = Code(choices.DAMAGE_KINDS)
    stage = Code(choices.STAGES, required=False, allow_null=True)
    bled = Truth(required=False, allow_null=True)
    red_below = Truth(required=False, allow_null=True)
    length_mm = Number(min_value=0, max_value=200, required=False, allow_null=True)
    worries = serializers.ListField(child=Code(choices.WORRIES), required=False)
    cause = Text(max_length=300, required=False, allow_blank=True, default="")
    red_flags = serializers.ListField(child=Code(choices.RED_FLAGS), required=False)
    sign_unnamed = Truth(required=False, allow_null=True)
    photo = Photo(required=False, allow_null=True)


def tap(viewer: Viewer, code: str, given: Mapping[str, Any], last_day: date) -> bool:
    """Count it, or count it no more."""
    told = TapTold(
        given["key"], given["local_date"], given["ordinal"], given["what"], given["at"], given.get("surface") or ""
    )
    if given["back"]:
        tally.take_back(viewer, code, told, last_day)
    else:
        tally.tap(viewer, code, told, last_day)
    return False


def damage(viewer: Viewer, code: str, given: Mapping[str, Any], last_day: date) -> bool:
    """Store the note with its first look, signs and photo."""
    flags = given.get("red_flags")
    signs = Signs(None if flags is None else tuple(flags), bool(given.get("sign_unnamed")))
    said = {name: given.get(name) for name in ("bled", "red_below", "stage", "length_mm", "photo")}
    worries = tuple(given.get("worries", ()))
    note = Note(
        given["site"], given["kind"], given["local_date"], worries=worries, cause=given["cause"], signs=signs,
        seen_on=given.get("seen_on"), **said,
    )  # fmt: skip
    try:
        note_damage(viewer, code, note, last_day)
    except BadInput as error:
        where = {"noticed_on": "local_date"}.get(error.field, error.field)
        raise BadInput(where, error.problem, error.value, error.remedy) from error
    except keeping.TooMany:
        raise BadInput("photo", gettext("there are too many photos already"), None) from None
    return False


def named(photo: Clean) -> str:
    """What is kept of a photo where an entry is kept: enough to know it again, and nothing to see."""
    return hashlib.sha256(photo.content).hexdigest()

"""What a phone keeps of care: a look at damage that stands, and a step of a day's list. A look joins the check-in of
its day, because that tells of looks too, and the newest word on a site has to stand whichever form it came by. What is
told of a step is the last that was said of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _
from rest_framework import serializers

from api.v1.answers_in import LookIn
from api.v1.delivered_pocket import Photo
from api.v1.fields import Code, Day, Site, StrictSerializer, Text, Truth, rating
from athletes.records import care_told, choices
from athletes.records.errors import BadInput
from athletes.records.photos import keeping
from athletes.records.viewer import Viewer
from coaching.usecases.keep_look import keep_photo
from coaching.usecases.tell_step import StepTold, keep_step

Body = Mapping[str, Any]
NONE = "none"
"""Neither done nor skipped: what was told before is taken back."""


class DeliveredLookIn(LookIn):
    """A look within a check-in of a phone's."""

    bled = Truth(required=False, allow_null=True)


class LookNoteIn(StrictSerializer):
    """A look at damage of one day; left out or null is not answered."""

    local_date = Day()
    episode_id = Text(max_length=64)
    stage = Code(choices.STAGES, required=False, allow_null=True)
    pain = rating()
    opens_on_pull = Truth(required=False, allow_null=True)
    bled = Truth(required=False, allow_null=True)
    red_flags = serializers.ListField(child=Code(choices.RED_FLAGS), required=False)
    sign_unnamed = Truth(required=False, allow_null=True)
    photo = Photo(required=False, allow_null=True)

    def validate(self, attrs: Any) -> Any:
        seen = any(attrs.get(name) is not None for name in ("pain", "opens_on_pull", "bled"))
        if seen and not attrs.get("stage"):
            raise serializers.ValidationError({"stage": _("Say how it looks: the stage is missing.")})
        if not any(attrs.get(name) for name in ("stage", "red_flags", "sign_unnamed", "photo")):
            raise serializers.ValidationError({"stage": _("Nothing is answered yet.")})
        return attrs


class StepIn(StrictSerializer):
    """A step of a day's list as the list had it, and what became of it."""

    local_date = Day()
    verb = Code(choices.VERBS)
    form = Text(max_length=32)
    part = Code(choices.PARTS)
    sites = serializers.ListField(child=Site(), required=False, default=list)
    status = Code((*care_told.TOLD, NONE))


def as_check_in(told: Body) -> dict[str, Any]:
    """The look as a check-in of its day would say it; the picture goes beside."""
    seen = ("episode_id", "stage", "pain", "opens_on_pull", "bled")
    found: dict[str, Any] = {"local_date": told["local_date"]}
    if told.get("stage"):
        found["looks"] = [{name: told.get(name) for name in seen}]
    if told.get("red_flags"):
        found["red_flags"] = told["red_flags"]
    return found | ({"sign_unnamed": True} if told.get("sign_unnamed") else {})


def photo_beside(viewer: Viewer, code: str, told: Body) -> None:
    """Keep the picture of a look, where it has one."""
    if not told.get("photo"):
        return
    try:
        keep_photo(viewer, code, told["episode_id"], told["local_date"], told["photo"])
    except keeping.TooMany:
        raise BadInput("photo", gettext("there are too many photos already"), None) from None


def about_step(body: Body) -> str:
    return f"{body['local_date']} {care_told.step_name(body['part'], body['form'], body['sites'])}"


def step(viewer: Viewer, code: str, given: Body, last_day: date) -> bool:
    """Let it stand for the step of that day."""
    told = StepTold(
        given["local_date"], given["verb"], given["form"], given["part"], tuple(given["sites"]), given["status"]
    )
    return keep_step(viewer, code, told, last_day)

"""Post a check-in. One an athlete and day: a second one corrects the first and leaves a trace."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework import serializers, status
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from api.v1 import door
from athletes.records import choices
from coaching.usecases import record_checkin
from coaching.usecases.answers import CheckInAnswers, NewDamage, NewLook


def _rating() -> serializers.IntegerField:
    return serializers.IntegerField(min_value=0, max_value=10, required=False, allow_null=True)


class StrictSerializer(serializers.Serializer):
    """Refuses what it does not know, so that a misspelt answer is not lost in silence."""

    def to_internal_value(self, data: Any) -> Any:
        if isinstance(data, dict) and (unknown := sorted(set(data) - set(self.fields))):
            raise serializers.ValidationError({name: ["Unknown field; see the schema."] for name in unknown})
        return super().to_internal_value(data)


class MarkIn(StrictSerializer):
    site = serializers.CharField()
    mark = serializers.ChoiceField(choices.MARKS)


class DamageIn(StrictSerializer):
    site = serializers.CharField()
    kind = serializers.ChoiceField(choices.DAMAGE_KINDS)
    depth = serializers.ChoiceField(choices.DEPTHS, required=False, allow_null=True)


class LookIn(StrictSerializer):
    episode_id = serializers.CharField()
    stage = serializers.ChoiceField(choices.STAGES)
    pain = _rating()
    opens_on_pull = serializers.BooleanField(required=False, allow_null=True)


class CheckInIn(StrictSerializer):
    local_date = serializers.DateField()
    rating_step = serializers.ChoiceField((1, 2), required=False, allow_null=True)
    reserve = _rating()
    dampness = _rating()
    hardness = _rating()
    sting = _rating()
    pull_pain = _rating()
    agent_used = serializers.BooleanField(required=False, allow_null=True)
    marks = MarkIn(many=True, required=False)
    red_flags = serializers.ListField(child=serializers.ChoiceField(choices.RED_FLAGS), required=False)
    seconds = serializers.FloatField(min_value=0, max_value=86400, required=False, allow_null=True)
    note = serializers.CharField(max_length=2000, required=False, allow_blank=True)
    damage = DamageIn(many=True, required=False)
    looks = LookIn(many=True, required=False)


class CheckInOut(serializers.Serializer):
    athlete_id = serializers.CharField()
    local_date = serializers.DateField()
    corrected = serializers.BooleanField()


def _listed(found: list[Any] | None, item: Callable[[Any], Any]) -> tuple[Any, ...] | None:
    """The list as given; a list that is not there was not asked, which is not the same as empty."""
    return None if found is None else tuple(item(one) for one in found)


def answers(found: dict[str, Any]) -> CheckInAnswers:
    """Validated input as the use-case takes it."""
    plain = ("rating_step", "reserve", "dampness", "hardness", "sting", "pull_pain", "agent_used", "seconds")
    return CheckInAnswers(
        day=found["local_date"],
        **{name: found.get(name) for name in plain},
        marks=_listed(found.get("marks"), lambda m: (m["site"], m["mark"])),
        red_flags=_listed(found.get("red_flags"), str),
        note=found.get("note", ""),
        new_damage=tuple(NewDamage(d["site"], d["kind"], d.get("depth")) for d in found.get("damage", ())),
        looks=tuple(
            NewLook(look["episode_id"], look["stage"], look.get("pain"), look.get("opens_on_pull"))
            for look in found.get("looks", ())
        ),
    )


class PostCheckIn(APIView):
    @extend_schema(operation_id="postCheckIn", request=CheckInIn, responses={201: CheckInOut, 200: CheckInOut})
    def post(self, request: Request, athlete_id: str) -> Response:
        """Store one morning's answers of an athlete; 201 for the day's first, 200 for a correction."""
        viewer = door.viewer(request)
        given = CheckInIn(data=request.data)
        given.is_valid(raise_exception=True)
        stored = record_checkin.record_checkin(viewer, athlete_id, answers(given.validated_data))
        body = {"athlete_id": athlete_id, "local_date": stored.day, "corrected": stored.corrected}
        return Response(body, status=status.HTTP_200_OK if stored.corrected else status.HTTP_201_CREATED)

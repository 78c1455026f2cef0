"""Episodes of damage, told by the athlete."""

from __future__ import annotations

from functools import partial

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api.v1 import described, door, keyed, pages
from api.v1.fields import Code, Day, Number, Site, StrictSerializer, Text
from api.v1.operations import Operation
from athletes.records import choices
from athletes.records.viewer import Viewer
from coaching.usecases import list_facts, record_damage


class EpisodeIn(StrictSerializer):
    """One episode; the same damage of the same day is opened once."""

    site = Site()
    kind = Code(choices.DAMAGE_KINDS)
    noticed_on = Day()
    depth = Code(choices.DEPTHS, required=False, allow_null=True)
    length_mm = Number(min_value=0, max_value=200, required=False, allow_null=True)
    width_mm = Number(min_value=0, max_value=200, required=False, allow_null=True)
    cause = Text(max_length=2000, required=False, allow_blank=True)
    worries = serializers.ListField(child=Code(choices.WORRIES), required=False)


class EpisodeOut(serializers.Serializer):
    """The cause, in the athlete's words, needs `notes`, and is null without."""

    episode_id = serializers.CharField()
    site = serializers.CharField()
    kind = serializers.CharField()
    noticed_on = serializers.DateField()
    depth = serializers.CharField(allow_null=True)
    length_mm = serializers.FloatField(allow_null=True)
    width_mm = serializers.FloatField(allow_null=True)
    worries = serializers.ListField(child=serializers.CharField())
    cause = serializers.CharField(allow_null=True)


class EpisodeStored(serializers.Serializer):
    episode_id = serializers.CharField()
    athlete_id = serializers.CharField()


class ListDamage(Operation):
    @described.lists("listDamage", EpisodeOut)
    def get(self, request: Request, athlete_id: str) -> Response:
        """An athlete's episodes of damage, the last noticed first."""
        viewer = door.viewer(request)
        page = list_facts.damage(viewer, athlete_id, pages.wanted(request, pages.BY_DAY))
        return pages.answer(request, page, EpisodeOut)


class PostDamage(Operation):
    @described.posts("postDamage", EpisodeIn, EpisodeStored)
    def post(self, request: Request, athlete_id: str) -> Response:
        """Open an episode of damage."""
        may = partial(_may, athlete_id)
        return keyed.post(request, keyed.Post("write", EpisodeIn, may, partial(_store, athlete_id)))


def _may(athlete_id: str, viewer: Viewer, given: keyed.Given) -> None:
    record_damage.may(viewer, athlete_id)


def _store(athlete_id: str, viewer: Viewer, given: keyed.Given) -> keyed.Stored:
    told = record_damage.record_damage(viewer, athlete_id, given)
    return keyed.Stored(EpisodeStored({"episode_id": told.key, "athlete_id": athlete_id}).data, told.athlete.id)

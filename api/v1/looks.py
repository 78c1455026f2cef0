"""Looks at damage: the athlete's own, or of one of the team. A correction names the version that was seen."""

from __future__ import annotations

from functools import partial

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api.v1 import described, door, keyed, pages, versions
from api.v1.fields import Code, Day, StrictSerializer, Text, Truth, rating
from api.v1.operations import Operation, row_key
from athletes.records import choices
from athletes.records.viewer import Viewer
from coaching.usecases import list_facts, record_look


class SeenIn(StrictSerializer):
    pain = rating()
    opens_on_pull = Truth(required=False, allow_null=True)
    balm_night = Truth(required=False, allow_null=True)
    taped = Truth(required=False, allow_null=True)
    bled = Truth(required=False, allow_null=True)


class LookPostIn(SeenIn):
    """A look at one episode; a second one of the same day corrects the first, where it answers."""

    local_date = Day()
    stage = Code(choices.STAGES)


class LookChangeIn(SeenIn):
    """What to correct; null takes an answer back."""

    stage = Code(choices.STAGES, required=False)
    why = Text(max_length=2000, required=False, allow_blank=True)


class LookOut(serializers.Serializer):
    look_id = serializers.IntegerField(source="id")
    episode_id = serializers.CharField()
    local_date = serializers.DateField()
    stage = serializers.CharField()
    pain = serializers.IntegerField(allow_null=True)
    opens_on_pull = serializers.BooleanField(allow_null=True)
    balm_night = serializers.BooleanField(allow_null=True)
    taped = serializers.BooleanField(allow_null=True)
    bled = serializers.BooleanField(allow_null=True)


class LookStored(serializers.Serializer):
    look_id = serializers.IntegerField()
    episode_id = serializers.CharField()
    athlete_id = serializers.CharField()
    corrected = serializers.BooleanField()


class ListLooks(Operation):
    @described.lists("listLooks", LookOut)
    def get(self, request: Request, athlete_id: str, episode_id: str) -> Response:
        """The looks at one episode, newest day first."""
        viewer = door.viewer(request)
        page = list_facts.looks(viewer, athlete_id, episode_id, pages.wanted(request, pages.BY_DAY))
        return pages.answer(request, page, LookOut)


class PostLook(Operation):
    @described.posts("postLook", LookPostIn, LookStored, corrects=True)
    def post(self, request: Request, athlete_id: str, episode_id: str) -> Response:
        """Store a look at an episode; 200 where it corrects the look of that day."""
        may, store = partial(_may, athlete_id, episode_id), partial(_store, athlete_id, episode_id)
        answer = keyed.post(request, keyed.Post("write", LookPostIn, may, store))
        answer["Location"] = f"/api/v1/athletes/{answer.data['athlete_id']}/looks/{answer.data['look_id']}"
        return answer


def _may(athlete_id: str, episode_id: str, viewer: Viewer, given: keyed.Given) -> None:
    record_look.may(viewer, athlete_id, episode_id)


def _store(athlete_id: str, episode_id: str, viewer: Viewer, given: keyed.Given) -> keyed.Stored:
    told, _ = record_look.record_look(viewer, athlete_id, episode_id, given)
    body = {
        "look_id": told.key, "episode_id": episode_id, "athlete_id": athlete_id, "corrected": told.corrected
    }  # fmt: skip
    return keyed.Stored(LookStored(body).data, told.athlete.id, told.corrected)


class ReadLook(Operation):
    @described.reads("readLook", LookOut)
    def get(self, request: Request, athlete_id: str, look_id: str) -> Response:
        """One look, with its version."""
        found = list_facts.look(door.viewer(request), athlete_id, row_key(look_id))
        return versions.single(request, LookOut(found).data, found.version)


class ChangeLook(Operation):
    @described.changes("changeLook", LookChangeIn, LookOut)
    def patch(self, request: Request, athlete_id: str, look_id: str) -> Response:
        """Correct a look; what stood before is kept as a trace."""
        viewer, over = door.viewer(request, "write"), versions.seen(request)
        values, why = versions.changes(request, LookChangeIn)
        found = record_look.correct_look(viewer, athlete_id, row_key(look_id), over, values, why)
        return versions.single(request, LookOut(found).data, found.version)

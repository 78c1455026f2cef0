"""A pause that a named person overrules for one form on one day, with a note that is printed beside the step."""

from __future__ import annotations

from functools import partial

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api.v1 import described, keyed
from api.v1.care import FORMS
from api.v1.fields import Code, Day, StrictSerializer, Text
from api.v1.operations import Operation
from athletes.records.viewer import Viewer
from coaching.usecases import overrule_pause


class PauseIn(StrictSerializer):
    """What is planned and refused on that day, and why it goes ahead all the same. Hard stops nobody overrules."""

    form = Code(FORMS)
    day = Day()
    note = Text(max_length=300)


class PauseStored(serializers.Serializer):
    pause_id = serializers.IntegerField()
    athlete_id = serializers.CharField()


class PostPause(Operation):
    @described.posts("postOverruledPause", PauseIn, PauseStored)
    def post(self, request: Request, athlete_id: str) -> Response:
        """Overrule a pause of the rulebook for one form on one day."""
        may = partial(_may, athlete_id)
        return keyed.post(request, keyed.Post("decide", PauseIn, may, partial(_store, athlete_id)))


def _may(athlete_id: str, viewer: Viewer, given: keyed.Given) -> None:
    overrule_pause.may(viewer, athlete_id)


def _store(athlete_id: str, viewer: Viewer, given: keyed.Given) -> keyed.Stored:
    told = overrule_pause.overrule_pause(viewer, athlete_id, given)
    return keyed.Stored(PauseStored({"pause_id": told.key, "athlete_id": athlete_id}).data, told.athlete.id)

"""Sessions: what was done, from the athlete; what is planned, from the team."""

from __future__ import annotations

from functools import partial

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api.v1 import described, door, keyed, pages
from api.v1.fields import Code, Day, Instant, Number, StrictSerializer, Text, Truth, Whole
from api.v1.operations import Operation
from athletes.records import choices
from athletes.records.viewer import Viewer
from coaching.usecases import list_facts, record_session


class SessionIn(StrictSerializer):
    """One session of a day; a second report of the same day, kind and ordinal corrects the first."""

    local_date = Day()
    planned = Truth()
    ordinal = Whole(min_value=1, max_value=9, required=False, default=1)
    minutes = Number(min_value=0, max_value=1440, required=False, allow_null=True)
    rpe = Number(min_value=0, max_value=10, required=False, allow_null=True)
    surface = Code(choices.SURFACES, required=False, allow_null=True)
    hard_tries = Whole(min_value=0, max_value=1000, required=False, allow_null=True)
    skin_limited = Truth(required=False, allow_null=True)
    place_id = Text(max_length=64, required=False, allow_null=True)
    started_at = Instant(required=False, allow_null=True)


class SessionOut(serializers.Serializer):
    local_date = serializers.DateField()
    planned = serializers.BooleanField()
    ordinal = serializers.IntegerField(allow_null=True)
    minutes = serializers.FloatField(allow_null=True)
    rpe = serializers.FloatField(allow_null=True)
    surface = serializers.CharField(allow_null=True)
    hard_tries = serializers.IntegerField(allow_null=True)
    skin_limited = serializers.BooleanField(allow_null=True)
    place_id = serializers.CharField(allow_null=True)
    started_at = serializers.DateTimeField(allow_null=True)


class SessionStored(serializers.Serializer):
    athlete_id = serializers.CharField()
    local_date = serializers.DateField()
    planned = serializers.BooleanField()
    ordinal = serializers.IntegerField()
    corrected = serializers.BooleanField()


class ListSessions(Operation):
    @described.lists("listSessions", SessionOut)
    def get(self, request: Request, athlete_id: str) -> Response:
        """An athlete's sessions, done and planned, newest day first."""
        viewer = door.viewer(request)
        page = list_facts.sessions(viewer, athlete_id, pages.wanted(request, pages.BY_DAY))
        return pages.answer(request, page, SessionOut)


class PostSession(Operation):
    @described.posts("postSession", SessionIn, SessionStored, corrects=True)
    def post(self, request: Request, athlete_id: str) -> Response:
        """Store a session: done by the athlete, or planned by a coach; 200 where it corrects one."""
        may = partial(_may, athlete_id)
        return keyed.post(request, keyed.Post("write", SessionIn, may, partial(_store, athlete_id)))


def _may(athlete_id: str, viewer: Viewer, given: keyed.Given) -> None:
    record_session.may(viewer, athlete_id, given)


def _store(athlete_id: str, viewer: Viewer, given: keyed.Given) -> keyed.Stored:
    told = record_session.record_session(viewer, athlete_id, given)
    body = {"athlete_id": athlete_id, "corrected": told.corrected, **given}
    return keyed.Stored(SessionStored(body).data, told.athlete.id, told.corrected)

"""What coaches and medical people saw on the hands, and what medical people clear for use."""

from __future__ import annotations

from functools import partial

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api.v1 import described, door, keyed, pages
from api.v1.answers_in import MarkIn
from api.v1.care import FORMS
from api.v1.checkins import MarkOut
from api.v1.fields import Code, Day, StrictSerializer, Text
from api.v1.operations import Operation
from athletes.records.viewer import Viewer
from coaching.usecases import list_facts, record_sighting, record_signoff


class SightingIn(StrictSerializer):
    """What was seen on one day; an empty list says that there was nothing. By whom, the role of the sender says."""

    local_date = Day()
    marks = MarkIn(many=True)
    note = Text(max_length=2000, required=False, allow_blank=True)


class SightingOut(serializers.Serializer):
    """The note needs `notes`, and is null without."""

    sighting_id = serializers.IntegerField(source="id")
    local_date = serializers.DateField()
    by = serializers.CharField()
    marks = MarkOut(many=True)
    note = serializers.CharField(allow_null=True)


class SightingStored(serializers.Serializer):
    sighting_id = serializers.IntegerField()
    athlete_id = serializers.CharField()


class SignoffIn(StrictSerializer):
    form = Code(FORMS)
    given_on = Day()
    until = Day(required=False, allow_null=True)


class SignoffOut(serializers.Serializer):
    signoff_id = serializers.IntegerField(source="id")
    form = serializers.CharField()
    by = serializers.CharField()
    given_on = serializers.DateField()
    until = serializers.DateField(allow_null=True)


class SignoffStored(serializers.Serializer):
    signoff_id = serializers.IntegerField()
    athlete_id = serializers.CharField()


class ListSightings(Operation):
    @described.lists("listSightings", SightingOut)
    def get(self, request: Request, athlete_id: str) -> Response:
        """What others saw on the athlete's hands, newest day first."""
        viewer = door.viewer(request)
        page = list_facts.sightings(viewer, athlete_id, pages.wanted(request, pages.BY_DAY))
        return pages.answer(request, page, SightingOut)


class PostSighting(Operation):
    @described.posts("postSighting", SightingIn, SightingStored)
    def post(self, request: Request, athlete_id: str) -> Response:
        """Store what a coach or a medical person saw."""
        may = partial(_may_see, athlete_id)
        return keyed.post(request, keyed.Post("write", SightingIn, may, partial(_saw, athlete_id)))


def _may_see(athlete_id: str, viewer: Viewer, given: keyed.Given) -> None:
    record_sighting.may(viewer, athlete_id)


def _saw(athlete_id: str, viewer: Viewer, given: keyed.Given) -> keyed.Stored:
    values = {**given, "marks": tuple((mark["site"], mark["mark"]) for mark in given["marks"])}
    told = record_sighting.record_sighting(viewer, athlete_id, values)
    return keyed.Stored(SightingStored({"sighting_id": told.key, "athlete_id": athlete_id}).data, told.athlete.id)


class ListSignoffs(Operation):
    @described.lists("listSignoffs", SignoffOut)
    def get(self, request: Request, athlete_id: str) -> Response:
        """What was cleared for use on the athlete, newest first."""
        viewer = door.viewer(request)
        page = list_facts.signoffs(viewer, athlete_id, pages.wanted(request, pages.BY_DAY))
        return pages.answer(request, page, SignoffOut)


class PostSignoff(Operation):
    @described.posts("postSignoff", SignoffIn, SignoffStored)
    def post(self, request: Request, athlete_id: str) -> Response:
        """Store that a medical person clears a form of care."""
        may = partial(_may_clear, athlete_id)
        return keyed.post(request, keyed.Post("write", SignoffIn, may, partial(_cleared, athlete_id)))


def _may_clear(athlete_id: str, viewer: Viewer, given: keyed.Given) -> None:
    record_signoff.may(viewer, athlete_id)


def _cleared(athlete_id: str, viewer: Viewer, given: keyed.Given) -> keyed.Stored:
    told = record_signoff.record_signoff(viewer, athlete_id, given)
    return keyed.Stored(SignoffStored({"signoff_id": told.key, "athlete_id": athlete_id}).data, told.athlete.id)

"""Check-ins. One an athlete and day: a second one corrects the first and leaves a trace."""

from __future__ import annotations

from functools import partial

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api.v1 import answers_in, described, door, keyed, made_once, pages
from api.v1.operations import Operation
from athletes.records import access
from athletes.records.errors import BadInput
from athletes.records.viewer import Viewer
from coaching.usecases import checkin_at_once, list_facts, once, record_checkin


class MarkOut(serializers.Serializer):
    site = serializers.CharField()
    mark = serializers.CharField()

    def to_representation(self, mark: tuple[str, str]) -> dict[str, str]:
        """From the pair that the records give."""
        return dict(zip(self.fields, mark, strict=True))


class CheckInReadOut(serializers.Serializer):
    """A morning's answers; null is not answered. Marks need `damage` and the note `notes`, and are null without."""

    local_date = serializers.DateField()
    made_at = serializers.DateTimeField(allow_null=True)
    rating_step = serializers.IntegerField(allow_null=True)
    reserve = serializers.IntegerField(allow_null=True)
    dampness = serializers.IntegerField(allow_null=True)
    hardness = serializers.IntegerField(allow_null=True)
    sting = serializers.IntegerField(allow_null=True)
    pull_pain = serializers.IntegerField(allow_null=True)
    agent_used = serializers.BooleanField(allow_null=True)
    marks = MarkOut(many=True, allow_null=True)
    red_flags = serializers.ListField(child=serializers.CharField())
    note = serializers.CharField(allow_null=True)


class CheckInOut(serializers.Serializer):
    athlete_id = serializers.CharField()
    local_date = serializers.DateField()
    corrected = serializers.BooleanField()


class ListCheckIns(Operation):
    @described.lists("listCheckIns", CheckInReadOut)
    def get(self, request: Request, athlete_id: str) -> Response:
        """An athlete's answers, newest day first."""
        viewer = door.viewer(request)
        page = list_facts.checkins(viewer, athlete_id, pages.wanted(request, pages.BY_DAY))
        return pages.answer(request, page, CheckInReadOut)


class PostCheckIn(Operation):
    @described.posts("postCheckIn", answers_in.CheckInIn, CheckInOut, corrects=True)
    def post(self, request: Request, athlete_id: str) -> Response:
        """Store one morning's answers of an athlete; 201 for the day's first, 200 for a correction.

        A correction never takes a red flag back: flags named that day stay until a medical sighting, or for a week.
        """
        ways = (partial(_store, athlete_id), partial(_at_once, athlete_id))
        how = keyed.Post("checkins", answers_in.CheckInIn, partial(_may, athlete_id), *ways)
        return keyed.post(request, how)


def _may(athlete_id: str, viewer: Viewer, given: keyed.Given) -> None:
    access.athlete_to_check_in(viewer, athlete_id)


def _store(athlete_id: str, viewer: Viewer, given: keyed.Given) -> keyed.Stored:
    answers = answers_in.answers(given)
    try:
        stored = record_checkin.record_checkin(viewer, athlete_id, answers)
    except BadInput as error:
        raise answers_in.placed(error, answers) from error
    return _told(athlete_id, stored)


def _at_once(athlete_id: str, viewer: Viewer, given: keyed.Given, sent: once.Sent) -> once.Answer | None:
    answers = answers_in.answers(given)
    answer = keyed.answered(_told(athlete_id, record_checkin.StoredCheckIn(answers.day, corrected=False)))
    return checkin_at_once.record_at_once(viewer, athlete_id, answers, sent, answer)


def _told(athlete_id: str, stored: record_checkin.StoredCheckIn) -> keyed.Stored:
    body = {"athlete_id": athlete_id, "local_date": stored.day, "corrected": stored.corrected}
    return keyed.Stored(made_once.of(CheckInOut, body).data, stored.athlete_id, stored.corrected)

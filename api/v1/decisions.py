"""What waits for a coach: deadlines over all athletes, and the coach's answers to them."""

from __future__ import annotations

from functools import partial
from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api.v1 import described, door, keyed, pages
from api.v1.entries import DeadlineOut
from api.v1.fields import Code, Site, StrictSerializer, Text
from api.v1.operations import Operation
from athletes.records import choices
from athletes.records.viewer import Viewer
from coaching.usecases import answer_decision, answer_kept, list_deadlines, list_facts

DEADLINE_KEY = (pages.day, *[pages.text] * 6)


class WaitingOut(serializers.Serializer):
    """One deadline of one entry; a form or site that is not shared is null."""

    athlete_id = serializers.CharField()
    event_id = serializers.CharField()
    deadline = DeadlineOut()


class DecisionIn(StrictSerializer):
    """The answer to one deadline that waits; why must be said where it is not accepted. `about` is what the deadline
    said when it was read (its last day, and its form if it has one): where it says something else by now, or somebody
    has answered since, nothing is stored.
    """

    event_id = Text(max_length=64)
    kind = Text(max_length=32)
    site = Site(required=False, allow_null=True, default=None)
    answer = Code(choices.ANSWERS)
    why = Text(max_length=2000, required=False, allow_blank=True, default="")
    about = Text(max_length=64, required=False)


class DecisionOut(serializers.Serializer):
    """The site needs `damage` and why `notes`, and are null without."""

    decision_id = serializers.IntegerField(source="id")
    event_id = serializers.CharField()
    kind = serializers.CharField()
    site = serializers.CharField(allow_null=True)
    answer = serializers.CharField()
    why = serializers.CharField(allow_null=True)
    made_at = serializers.DateTimeField()


class DecisionStored(serializers.Serializer):
    decision_id = serializers.IntegerField()
    athlete_id = serializers.CharField()


class ListDeadlines(Operation):
    @described.lists("listDeadlines", WaitingOut)
    def get(self, request: Request) -> Response:
        """Every open or due deadline of the squads that the reader coaches, the nearest first."""
        viewer = door.viewer(request)
        page = list_deadlines.list_deadlines(viewer, pages.wanted(request, DEADLINE_KEY))
        return pages.answer(request, page, WaitingOut)


class ListDecisions(Operation):
    @described.lists("listDecisions", DecisionOut)
    def get(self, request: Request, athlete_id: str) -> Response:
        """A coach's answers about one athlete, newest first."""
        viewer = door.viewer(request)
        page = list_facts.decisions(viewer, athlete_id, pages.wanted(request, (pages.instant, pages.key)))
        return pages.answer(request, page, DecisionOut)


class PostDecision(Operation):
    @described.posts("postDecision", DecisionIn, DecisionStored)
    def post(self, request: Request, athlete_id: str) -> Response:
        """Answer one decision that waits: accept, change, or decline and say why."""
        may = partial(_may, athlete_id)
        return keyed.post(request, keyed.Post("decide", DecisionIn, may, partial(_store, athlete_id)))


def _may(athlete_id: str, viewer: Viewer, given: Any) -> None:
    answer_decision.may(viewer, athlete_id)


def _store(athlete_id: str, viewer: Viewer, given: keyed.Given) -> keyed.Stored:
    answer = answer_kept.answer_kept if "about" in given else answer_decision.answer_decision
    told = answer(viewer, athlete_id, given)
    return keyed.Stored(DecisionStored({"decision_id": told.key, "athlete_id": athlete_id}).data, told.athlete.id)

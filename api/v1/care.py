"""Care: what was done or skipped, from the athlete; what is planned, from the team, with the rulebook's caution."""

from __future__ import annotations

from functools import partial

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api.v1 import described, door, keyed, pages
from api.v1.fields import Code, Day, Site, StrictSerializer, Text, Whole
from api.v1.operations import Operation
from athletes.records import choices
from athletes.records.viewer import Viewer
from coaching.usecases import list_facts, record_care

FORMS = tuple(form for forms in choices.FORMS.values() for form in forms)


class CareIn(StrictSerializer):
    """One action of care. A plan that a hard rule forbids this athlete is refused."""

    local_date = Day()
    status = Code(choices.CARE_STATUSES)
    verb = Code(choices.VERBS)
    form = Code(FORMS, help_text="A form of the verb.")
    strength = Code(choices.STRENGTHS, required=False, allow_null=True)
    part = Code(choices.PARTS, required=False, allow_null=True)
    uses = Whole(min_value=0, max_value=20, required=False, allow_null=True)
    sites = serializers.ListField(child=Site(), required=False)
    reaction = Code(choices.REACTIONS, required=False, allow_null=True)
    product_note = Text(max_length=2000, required=False, allow_blank=True)


class CareOut(serializers.Serializer):
    """Sites need `damage` and the note `notes`, and are null without."""

    care_id = serializers.IntegerField(source="id")
    local_date = serializers.DateField()
    status = serializers.CharField()
    verb = serializers.CharField()
    form = serializers.CharField()
    strength = serializers.CharField(allow_null=True)
    part = serializers.CharField(allow_null=True)
    uses = serializers.IntegerField(allow_null=True)
    sites = serializers.ListField(child=serializers.CharField(), allow_null=True)
    reaction = serializers.CharField(allow_null=True)
    product_note = serializers.CharField(allow_null=True)


class CareStored(serializers.Serializer):
    care_id = serializers.IntegerField()
    athlete_id = serializers.CharField()
    caution = serializers.CharField(help_text="To be shown beside the care, always.")
    source = serializers.CharField()


class ListCare(Operation):
    @described.lists("listCare", CareOut)
    def get(self, request: Request, athlete_id: str) -> Response:
        """An athlete's care, newest day first."""
        viewer = door.viewer(request)
        page = list_facts.care(viewer, athlete_id, pages.wanted(request, pages.BY_DAY))
        return pages.answer(request, page, CareOut)


class PostCare(Operation):
    @described.posts("postCare", CareIn, CareStored)
    def post(self, request: Request, athlete_id: str) -> Response:
        """Store care: done or skipped by the athlete, or planned by a coach; the answer carries the caution."""
        may = partial(_may, athlete_id)
        return keyed.post(request, keyed.Post("write", CareIn, may, partial(_store, athlete_id)))


def _may(athlete_id: str, viewer: Viewer, given: keyed.Given) -> None:
    record_care.may(viewer, athlete_id, given)


def _store(athlete_id: str, viewer: Viewer, given: keyed.Given) -> keyed.Stored:
    told = record_care.record_care(viewer, athlete_id, given)
    caution, source = record_care.caution(given["form"])
    body = {"care_id": told.key, "athlete_id": athlete_id, "caution": caution, "source": source}
    return keyed.Stored(CareStored(body).data, told.athlete.id)

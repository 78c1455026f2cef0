"""Events and who is entered; a coach sets the bar of an event and the status of an entry."""

from __future__ import annotations

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api.v1 import described, door, pages, versions
from api.v1.fields import Code, Number, StrictSerializer, Text
from api.v1.operations import Operation
from athletes.records import choices
from coaching.usecases import change_entry, list_facts


class EventOut(serializers.Serializer):
    """`bar` is in parts of 100; null: the squad's own."""

    event_id = serializers.CharField()
    name = serializers.CharField()
    kind = serializers.CharField()
    first_day = serializers.DateField()
    last_day = serializers.DateField()
    timezone = serializers.CharField()
    place_id = serializers.CharField(allow_null=True)
    surface = serializers.CharField(allow_null=True)
    styles = serializers.ListField(child=serializers.CharField())
    bar = serializers.FloatField(allow_null=True)
    entry_deadline = serializers.DateTimeField(allow_null=True)


class EventEntryOut(serializers.Serializer):
    """Sites that are needed whole need `damage`, and are null without."""

    event_id = serializers.CharField()
    athlete_id = serializers.CharField()
    priority = serializers.IntegerField(allow_null=True)
    needs_sites = serializers.ListField(child=serializers.CharField(), allow_null=True)
    status = serializers.CharField(allow_null=True)


class BarIn(StrictSerializer):
    bar = Number(min_value=0, max_value=100, required=False, allow_null=True)
    why = Text(max_length=2000, required=False, allow_blank=True)


class StatusIn(StrictSerializer):
    status = Code(choices.ENTRY_STATUSES, required=False)
    why = Text(max_length=2000, required=False, allow_blank=True)


class ListEvents(Operation):
    @described.lists("listEvents", EventOut)
    def get(self, request: Request) -> Response:
        """Events in which somebody is entered whose level the reader may see, by their first day."""
        viewer = door.viewer(request)
        page = list_facts.events(viewer, pages.wanted(request, (pages.day, pages.text)))
        return pages.answer(request, page, EventOut)


class ReadEvent(Operation):
    @described.reads("readEvent", EventOut)
    def get(self, request: Request, event_id: str) -> Response:
        """One event, with its version."""
        found = list_facts.event(door.viewer(request), event_id)
        return versions.single(request, EventOut(found).data, found.version)


class ChangeEvent(Operation):
    @described.changes("changeEvent", BarIn, EventOut)
    def patch(self, request: Request, event_id: str) -> Response:
        """Set the bar of an event; only for a coach of all who are entered, because it holds for all of them."""
        viewer, over = door.viewer(request, "write"), versions.seen(request)
        values, why = versions.changes(request, BarIn)
        found = change_entry.set_bar(viewer, event_id, over, values["bar"], why)
        return versions.single(request, EventOut(found).data, found.version)


class ListEventEntries(Operation):
    @described.lists("listEventEntries", EventEntryOut)
    def get(self, request: Request, event_id: str) -> Response:
        """Who is entered, as far as the reader may see their level."""
        viewer = door.viewer(request)
        page = list_facts.event_entries(viewer, event_id, pages.wanted(request, (pages.text,)))
        return pages.answer(request, page, EventEntryOut)


class ReadEventEntry(Operation):
    @described.reads("readEventEntry", EventEntryOut)
    def get(self, request: Request, event_id: str, athlete_id: str) -> Response:
        """One entry, with its version."""
        found = list_facts.entry(door.viewer(request), event_id, athlete_id)
        return versions.single(request, EventEntryOut(found).data, found.version)


class ChangeEventEntry(Operation):
    @described.changes("changeEventEntry", StatusIn, EventEntryOut)
    def patch(self, request: Request, event_id: str, athlete_id: str) -> Response:
        """Set the status of an entry; only for a coach of the athlete."""
        viewer, over = door.viewer(request, "write"), versions.seen(request)
        values, why = versions.changes(request, StatusIn)
        found = change_entry.set_status(viewer, event_id, athlete_id, over, values["status"], why)
        return versions.single(request, EventEntryOut(found).data, found.version)

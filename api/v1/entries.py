"""Read an athlete's entries: level, readiness, reasons and deadlines, as far as they are shared with the viewer."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api.v1 import described, door, versions
from api.v1.operations import Operation
from coaching.rules.conclusions import Deadline, Reason
from coaching.usecases import athlete_page
from coaching.usecases.shown import AthleteShown, EntryShown


class ReadinessOut(serializers.Serializer):
    p = serializers.FloatField(allow_null=True)
    low = serializers.FloatField()
    high = serializers.FloatField()
    bar = serializers.FloatField()
    bar_provisional = serializers.BooleanField()


class ReasonOut(serializers.Serializer):
    code = serializers.CharField()
    site = serializers.CharField(allow_null=True)
    date = serializers.DateField(allow_null=True)
    numbers = serializers.DictField()


class DeadlineOut(serializers.Serializer):
    kind = serializers.CharField()
    form = serializers.CharField(allow_null=True)
    site = serializers.CharField(allow_null=True)
    earliest = serializers.DateField(allow_null=True)
    latest = serializers.DateField()
    median = serializers.DateField(allow_null=True)
    at = serializers.CharField(allow_null=True)
    slack_days = serializers.IntegerField()
    state = serializers.CharField()
    rule = serializers.CharField()


class EntryOut(serializers.Serializer):
    event_id = serializers.CharField()
    event_name = serializers.CharField()
    kind = serializers.CharField()
    first_day = serializers.DateField()
    last_day = serializers.DateField()
    level = serializers.CharField()
    readiness = ReadinessOut()
    reasons = ReasonOut(many=True)
    deadlines = DeadlineOut(many=True)


class EntriesOut(serializers.Serializer):
    athlete_id = serializers.CharField()
    as_of = serializers.DateField()
    known_until = serializers.DateField(allow_null=True)
    stale = serializers.BooleanField()
    shared = serializers.ListField(child=serializers.CharField())
    model = serializers.CharField()
    rulebook = serializers.CharField()
    entries = EntryOut(many=True)


def _deadline(deadline: Deadline) -> dict[str, Any]:
    return {name: getattr(deadline, name) for name in DeadlineOut().fields}


def _reason(reason: Reason) -> dict[str, Any]:
    return asdict(reason)


def _entry(entry: EntryShown) -> dict[str, Any]:
    event = entry.event
    return {
        "event_id": event.code,
        "event_name": event.name,
        "kind": event.kind,
        "first_day": event.first_day,
        "last_day": event.last_day,
        "level": entry.level,
        "readiness": {
            "p": entry.p,
            "low": entry.low,
            "high": entry.high,
            "bar": entry.bar_frac,
            "bar_provisional": entry.bar_provisional,
        },
        "reasons": [_reason(r) for r in entry.reasons],
        "deadlines": [_deadline(d) for d in entry.deadlines],
    }


def document(athlete: AthleteShown) -> dict[str, Any]:
    return {
        "athlete_id": athlete.code,
        "as_of": athlete.as_of,
        "known_until": athlete.known_until,
        "stale": athlete.stale,
        "shared": sorted(athlete.shared),
        "model": athlete.model,
        "rulebook": athlete.rulebook,
        "entries": [_entry(entry) for entry in athlete.entries],
    }


class ReadEntries(Operation):
    @described.reads("readEntries", EntriesOut)
    def get(self, request: Request, athlete_id: str) -> Response:
        """Level, readiness, reasons and deadlines of each entry, nearest event first."""
        found = athlete_page.athlete_page(door.viewer(request), athlete_id)
        return versions.single(request, EntriesOut(document(found)).data)

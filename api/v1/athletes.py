"""The athletes whose level one may see."""

from __future__ import annotations

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api.v1 import described, door, pages, versions
from api.v1.operations import Operation
from coaching.usecases import list_facts


class AthleteOut(serializers.Serializer):
    athlete_id = serializers.CharField(source="code")
    name = serializers.CharField()


class AthleteReadOut(AthleteOut):
    timezone = serializers.CharField()
    shared = serializers.SerializerMethodField()

    def get_shared(self, athlete: list_facts.AthleteRef) -> list[str]:
        """The classes of data that are shared with the reader."""
        return sorted(athlete.shared)


class ListAthletes(Operation):
    @described.lists("listAthletes", AthleteOut)
    def get(self, request: Request) -> Response:
        """The athletes that the reader may see, by name."""
        viewer = door.viewer(request)
        page = list_facts.athletes(viewer, pages.wanted(request, (pages.text, pages.text)))
        return pages.answer(request, page, AthleteOut)


class ReadAthlete(Operation):
    @described.reads("readAthlete", AthleteReadOut)
    def get(self, request: Request, athlete_id: str) -> Response:
        """One athlete, and what of them is shared with the reader."""
        found = list_facts.athlete(door.viewer(request), athlete_id)
        return versions.single(request, AthleteReadOut(found).data)

"""List the athletes whose level one may see."""

from __future__ import annotations

from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from api.v1 import door
from api.v1.problem_out import SIGNED_IN, problems
from athletes.records import access


class AthleteOut(serializers.Serializer):
    athlete_id = serializers.CharField()
    name = serializers.CharField()


class AthleteListOut(serializers.Serializer):
    results = AthleteOut(many=True)


class AthleteList(APIView):
    @extend_schema(
        operation_id="listAthletes", auth=SIGNED_IN, responses={200: AthleteListOut, **problems(404)}
    )
    def get(self, request: Request) -> Response:
        """The athletes that the signed-in person may see, by name."""
        found = access.refs_visible(door.viewer(request), "level")
        return Response({"results": [{"athlete_id": ref.code, "name": ref.name} for ref in found]})

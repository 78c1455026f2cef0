"""Post a check-in. One an athlete and day: a second one corrects the first and leaves a trace."""

from __future__ import annotations

from drf_spectacular.utils import extend_schema
from rest_framework import serializers, status
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from api.v1 import answers_in, door
from api.v1.parsing import OneMeaningJSON
from api.v1.problem_out import SIGNED_IN, problems
from athletes.records.errors import BadInput
from coaching.usecases import record_checkin


class CheckInOut(serializers.Serializer):
    athlete_id = serializers.CharField()
    local_date = serializers.DateField()
    corrected = serializers.BooleanField()


class PostCheckIn(APIView):
    parser_classes = [OneMeaningJSON]

    @extend_schema(
        operation_id="postCheckIn",
        auth=SIGNED_IN,
        request=answers_in.CheckInIn,
        responses={201: CheckInOut, 200: CheckInOut, **problems(400, 403, 404, 413, 415, 422)},
    )
    def post(self, request: Request, athlete_id: str) -> Response:
        """Store one morning's answers of an athlete; 201 for the day's first, 200 for a correction."""
        viewer = door.viewer(request)
        given = answers_in.CheckInIn(data=request.data)
        given.is_valid(raise_exception=True)
        answers = answers_in.answers(given.validated_data)
        try:
            stored = record_checkin.record_checkin(viewer, athlete_id, answers)
        except BadInput as error:
            raise answers_in.placed(error, answers) from error
        body = {"athlete_id": athlete_id, "local_date": stored.day, "corrected": stored.corrected}
        return Response(
            CheckInOut(body).data, status=status.HTTP_200_OK if stored.corrected else status.HTTP_201_CREATED
        )

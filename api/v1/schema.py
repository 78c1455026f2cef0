"""The OpenAPI document, for those who may use the interface."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema
from drf_spectacular.views import SpectacularJSONAPIView
from rest_framework.request import Request
from rest_framework.response import Response

from api.v1 import door


class Schema(SpectacularJSONAPIView):
    @extend_schema(exclude=True)
    def get(self, request: Request, *args: Any, **kwargs: Any) -> Response:
        door.viewer(request)
        return super().get(request, *args, **kwargs)

"""The OpenAPI document and a page to read it on, for those who may use the interface."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema
from drf_spectacular.views import SpectacularJSONAPIView, SpectacularSwaggerSplitView
from rest_framework.renderers import JSONRenderer
from rest_framework.request import Request
from rest_framework.response import Response

from api.v1 import door
from api.v1.authentication import WAYS


class Schema(SpectacularJSONAPIView):
    authentication_classes = WAYS

    @extend_schema(exclude=True)
    def get(self, request: Request, *args: Any, **kwargs: Any) -> Response:
        door.viewer(request)
        return super().get(request, *args, **kwargs)


class Docs(SpectacularSwaggerSplitView):
    """The library's viewer, under the same policy of content as every page."""

    template_name = "api_docs.html"
    authentication_classes = WAYS
    url_name = "api-schema"

    def handle_exception(self, exc: Exception) -> Response:
        """A problem document needs no template."""
        answer = super().handle_exception(exc)
        self.request.accepted_renderer = JSONRenderer()
        return answer

    @extend_schema(exclude=True)
    def get(self, request: Request, *args: Any, **kwargs: Any) -> Response:
        door.viewer(request)
        return super().get(request, *args, **kwargs)

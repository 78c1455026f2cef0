"""The OpenAPI document and a page to read it on, for those who may use the interface."""

from __future__ import annotations

from typing import Any

from csp.decorators import csp_update
from django.utils.decorators import method_decorator
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


@method_decorator(csp_update({"style-src": ["'unsafe-inline'"]}), name="dispatch")
class Docs(SpectacularSwaggerSplitView):
    """The viewer puts styles on its elements, so this one address lets it; scripts come from here alone."""

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

"""Views that do nothing, behind everything that stands before a view: what a request costs without its work."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.core.handlers.wsgi import WSGIHandler
from django.http import HttpRequest, HttpResponse
from django.urls import ResolverMatch, set_urlconf
from django.views.decorators.csrf import csrf_exempt
from rest_framework.response import Response
from rest_framework.views import APIView

View = Callable[..., HttpResponse]


class OfNothing(APIView):
    """The framework of the interface with nothing in it."""

    def post(self, request: Any) -> Response:
        return Response({})


@csrf_exempt
def nothing(request: HttpRequest) -> HttpResponse:
    """An answer of two characters."""
    return HttpResponse(b"{}", content_type="application/json")


class Only(WSGIHandler):
    """The program with all its middleware, in which every address is the same, open view."""

    def __init__(self, view: View) -> None:
        super().__init__()
        self.view = view

    def resolve_request(self, request: HttpRequest) -> ResolverMatch:
        """The view, under the name of an address that is open to everybody."""
        set_urlconf(None)
        request.resolver_match = ResolverMatch(self.view, (), {}, url_name="healthz")
        return request.resolver_match


def applications() -> dict[str, Only]:
    """By what they are an empty view of."""
    return {"empty_django": Only(nothing), "empty_drf": Only(OfNothing.as_view())}

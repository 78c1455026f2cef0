"""Two addresses for machines: the process lives; the process can serve. Neither needs a login or tells a secret."""

from __future__ import annotations

from dataclasses import asdict

from django.http import HttpRequest, JsonResponse
from django.views.decorators.http import require_safe

from coaching.usecases import clock, health


@require_safe
def healthz(request: HttpRequest) -> JsonResponse:
    return JsonResponse({"alive": True})


@require_safe
def readyz(request: HttpRequest) -> JsonResponse:
    """503 where the database is away or not migrated; a late sweep is told, and turns nobody away."""
    found = health.readiness(clock.now())
    return JsonResponse({"ready": found.ready, **asdict(found)}, status=200 if found.ready else 503)

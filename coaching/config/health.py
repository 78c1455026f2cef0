"""Two addresses for machines: the process lives; the process can serve. Neither needs a login or tells a secret."""

from __future__ import annotations

from django.http import HttpRequest, JsonResponse
from django.views.decorators.http import require_safe

from coaching.usecases import clock, health


@require_safe
def healthz(request: HttpRequest) -> JsonResponse:
    return JsonResponse({"alive": True})


@require_safe
def readyz(request: HttpRequest) -> JsonResponse:
    found = health.readiness(clock.now())
    body = {"ready": found.ready, "database": found.database, "migrated": found.migrated, "waiting": found.waiting}
    return JsonResponse(body, status=200 if found.ready else 503)

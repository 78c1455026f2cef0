"""Pages of an account are for whoever signed in with it; a token opens none."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps

from django.http import Http404, HttpRequest, HttpResponse

View = Callable[..., HttpResponse]


def signed_in(view: View) -> View:
    """Strangers meet no page."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: object, **kwargs: object) -> HttpResponse:
        if getattr(request, "viewer", None) is None or not request.user.is_authenticated:
            raise Http404
        return view(request, *args, **kwargs)

    return guarded

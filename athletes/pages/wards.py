"""For whom a page is: the signed-in athlete, or a minor whose guardian is signed in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from athletes.records import access
from athletes.records.access import AthleteRef
from athletes.records.errors import NotFound
from athletes.records.viewer import Viewer

View = Callable[..., HttpResponse]


@dataclass(frozen=True)
class Whom:
    """Who looks, and at whom; `code` is None for one's own page."""

    viewer: Viewer
    code: str | None

    @property
    def query(self) -> str:
        """What an address needs to stay with the ward."""
        return f"?{urlencode({'for': self.code})}" if self.code else ""


def own_or_ward(view: View) -> View:
    """Hand the view its `Whom`. Strangers meet no page; a guardian of several minors is asked whom."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: str, **kwargs: str) -> HttpResponse:
        viewer: Viewer | None = getattr(request, "viewer", None)
        if viewer is None or not viewer.roles() & {"athlete", "guardian"}:
            raise Http404
        code = request.GET.get("for") or None
        if code is None and viewer.own_athlete_id is None:
            wards = wards_of(viewer)
            if len(wards) > 1:
                return render(request, "athletes/whom.html", {"wards": wards})
            code = wards[0].code if wards else None
        try:
            return view(request, Whom(viewer, code), *args, **kwargs)
        except NotFound:
            raise Http404 from None

    return guarded


def wards_of(viewer: Viewer) -> list[AthleteRef]:
    """The minors for whom a guardian may answer, by name."""
    return [ref for ref in access.refs_visible(viewer, "checkins") if access.may_check_in(viewer, ref)]

"""The viewer of an API request, through the same door as the pages."""

from __future__ import annotations

from rest_framework.exceptions import NotAuthenticated
from rest_framework.request import Request

from athletes.records.viewer import Viewer
from coaching.usecases import sign_in


def viewer(request: Request) -> Viewer:
    """The signed-in viewer with at least one role; raises NotAuthenticated otherwise."""
    if not request.user.is_authenticated:
        raise NotAuthenticated
    found = getattr(request._request, "viewer", None) or sign_in.viewer(request.user)
    if not found.grants:
        raise NotAuthenticated
    return found

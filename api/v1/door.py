"""The viewer of an API request, through the same door as the pages."""

from __future__ import annotations

from rest_framework.exceptions import NotAuthenticated, PermissionDenied
from rest_framework.request import Request

from athletes.records.viewer import Viewer
from coaching.usecases import api_tokens, sign_in


def viewer(request: Request, scope: str = "read") -> Viewer:
    """The signed-in viewer with at least one role; raises NotAuthenticated otherwise, and PermissionDenied for a token
    without the scope. A session has every scope.
    """
    if not request.user.is_authenticated:
        raise NotAuthenticated
    found = getattr(request._request, "viewer", None) or sign_in.viewer(request.user)
    if not found.grants:
        raise NotAuthenticated
    if request.auth is not None and scope not in _opened(request.auth.scopes):
        raise PermissionDenied(f"The token has not the scope `{scope}`.")
    return found


def _opened(scopes: frozenset[str]) -> frozenset[str]:
    """A phone's token stores check-ins; the door has left its viewer nobody but themselves."""
    return scopes | {"checkins"} if api_tokens.DEVICE_SCOPE in scopes else scopes

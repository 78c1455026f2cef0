"""A token of another program, which the door has already looked at. No cookie takes part, so no CSRF token is asked."""

from __future__ import annotations

from typing import Any

from drf_spectacular.extensions import OpenApiAuthenticationExtension
from rest_framework.authentication import BaseAuthentication, SessionAuthentication
from rest_framework.request import Request


class TokenAuthentication(BaseAuthentication):
    """`Authorization: Bearer tp_...`; the door has set `token` on the request where it stands."""

    def authenticate(self, request: Request) -> tuple[Any, Any] | None:
        token = getattr(request._request, "token", None)
        return (token.account, token) if token else None


class TokenScheme(OpenApiAuthenticationExtension):
    """How the schema names it."""

    target_class = TokenAuthentication
    name = "bearerAuth"

    def get_security_definition(self, auto_schema: Any) -> dict[str, str]:
        return {"type": "http", "scheme": "bearer", "description": "A token made with `manage.py make-token`."}


WAYS = [TokenAuthentication, SessionAuthentication]
"""A token goes before a session, whose CSRF token is then not asked for."""

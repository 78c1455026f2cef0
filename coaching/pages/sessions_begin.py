"""What a session notes of its beginning: when, and on what kind of device."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest

from coaching.usecases import sign_in


def noted(sender: Any, request: HttpRequest, user: Any, **kwargs: Any) -> None:
    """Hears of every sign-in, after the session's key was made anew."""
    sign_in.begin(request.session, device(request.META.get("HTTP_USER_AGENT", "")))


def device(agent: str) -> str:
    """phone, tablet or computer; no more of what a browser says of itself is kept."""
    if "iPad" in agent or "Tablet" in agent or ("Android" in agent and "Mobile" not in agent):
        return "tablet"
    return "phone" if "Mobi" in agent else "computer"

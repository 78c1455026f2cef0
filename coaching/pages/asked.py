"""What an address asks for after its question mark, read without trust."""

from __future__ import annotations

from datetime import date

from django.http import HttpRequest


def asked_day(request: HttpRequest, name: str) -> date | None:
    """The day asked for; what is no day, or no day that a calendar of ours reaches, asks for nothing."""
    try:
        found = date.fromisoformat(request.GET.get(name, ""))
    except ValueError:
        return None
    return found if 1990 <= found.year <= 2100 else None

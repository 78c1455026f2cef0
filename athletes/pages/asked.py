"""What an address asks for beside the page."""

from __future__ import annotations

from datetime import date


def day(text: str) -> date | None:
    """The day asked for; what is no day asks for today."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None

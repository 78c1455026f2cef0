"""Names of time zones."""

from __future__ import annotations

from functools import cache
from typing import Any
from zoneinfo import available_timezones


@cache
def _names() -> frozenset[str]:
    return frozenset(available_timezones())


def is_zone(name: Any) -> bool:
    """Whether it is an IANA name that this machine knows."""
    return isinstance(name, str) and name in _names()

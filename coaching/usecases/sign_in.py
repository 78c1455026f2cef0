"""Who a signed-in account is."""

from __future__ import annotations

from typing import Any

from athletes.records import access
from athletes.records.viewer import Viewer
from coaching.usecases import clock


def viewer(account: Any) -> Viewer:
    """The account's roles on today's date (UTC)."""
    return access.viewer_for(account, clock.now().date())

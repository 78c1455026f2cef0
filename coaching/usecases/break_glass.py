"""Support's way in: for a reason, for an hour, told to the athlete."""

from __future__ import annotations

from athletes.records import consents, glass
from athletes.records.errors import NotFound
from athletes.records.glass import Look
from athletes.records.viewer import Viewer
from coaching.usecases import clock


def break_glass(viewer: Viewer, code: str, reason: str) -> Look:
    """Let support in to one athlete. Raises NotFound alike for whoever is not support and for nobody's code, and
    BadInput without a reason.
    """
    return glass.open_for(viewer.person_id, code, reason, clock.now())


def mend(viewer: Viewer) -> int:
    """End it before its hour is over."""
    return glass.close(viewer.person_id, clock.now())


def opened(viewer: Viewer) -> tuple[tuple[str, str, Look], ...]:
    """(code, name, look) of what is open at present. Raises NotFound for whoever is not support."""
    if "support" not in viewer.roles():
        raise NotFound
    return glass.open_now(viewer.person_id, clock.now())


def looks_at(viewer: Viewer, code: str | None) -> tuple[Look, ...]:
    """Support's looks at the athlete, newest first, for themselves or a minor's guardian. Raises NotFound."""
    return glass.of_athlete(consents.subject(viewer, code).id)

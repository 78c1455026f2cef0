"""One athlete, as far as it is shared with the viewer."""

from __future__ import annotations

from athletes.records import access
from athletes.records.viewer import Viewer
from coaching.usecases.showing import show
from coaching.usecases.shown import AthleteShown


def athlete_page(viewer: Viewer, code: str) -> AthleteShown:
    """The athlete's conclusions; raises NotFound for a stranger's, a hidden and a nonexistent athlete alike."""
    return show(viewer, [access.athlete_by_code(viewer, code, "level")])[0]

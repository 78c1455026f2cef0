"""Who may tell us what of whom. Whoever may not, finds nobody there."""

from __future__ import annotations

from dataclasses import replace

from athletes.records.access import AthleteRef, athlete_by_code, may_check_in, shared_classes
from athletes.records.errors import NotFound
from athletes.records.viewer import Viewer

COACHES = frozenset({"head-coach", "assistant"})
TEAM = COACHES | {"medical"}
MEDICAL = frozenset({"medical"})
NOBODY: frozenset[str] = frozenset()


def athlete_to_write(
    viewer: Viewer, code: str, data_class: str, team: frozenset[str] = NOBODY, own: bool = True
) -> AthleteRef:
    """The athlete of whom the viewer may store facts of this class: their own or their ward's, and as one of the
    `team` roles where the athlete shares the class with that very role. Raises NotFound otherwise.
    """
    ref = athlete_by_code(viewer, code, data_class)
    if own and may_check_in(viewer, ref):
        return ref
    if team and data_class in shared_classes(only(viewer, team), [ref.id])[ref.id]:
        return ref
    raise NotFound


def only(viewer: Viewer, roles: frozenset[str]) -> Viewer:
    """The viewer with nothing but these roles."""
    return replace(viewer, grants=tuple(grant for grant in viewer.grants if grant.role in roles))


def role_over(viewer: Viewer, athlete: AthleteRef, data_class: str) -> str:
    """As whom one of the team looks at the athlete: `medical` where only that role is let in, else `coach`."""
    coach = data_class in shared_classes(only(viewer, COACHES), [athlete.id])[athlete.id]
    return "coach" if coach else "medical"

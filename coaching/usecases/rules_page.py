"""The rulebook as it is printed: every entry with its source, and what the viewer's own clubs changed of it."""

from __future__ import annotations

from dataclasses import dataclass

from athletes.records import queries_rules
from athletes.records.errors import NotFound
from athletes.records.viewer import Viewer
from coaching.rules import overrides, rulebook
from coaching.rules.overrides import Change
from coaching.rules.rulebook import Rulebook
from coaching.usecases import change_rule
from coaching.usecases.morning_list import COACHING


@dataclass(frozen=True)
class RulesPage:
    """The rulebook in force today, the one that ships, and every change of it, those to come too."""

    book: Rulebook
    shipped: Rulebook
    changes: tuple[Change, ...]
    may_change: bool


def rules_page(viewer: Viewer) -> RulesPage:
    """Raises NotFound for a viewer without a coaching role."""
    if not (viewer.operator or viewer.roles() & COACHING):
        raise NotFound
    changes, shipped = queries_rules.club_changes(viewer), rulebook.current()
    return RulesPage(overrides.apply(shipped, changes, viewer.today), shipped, changes, change_rule.may(viewer))

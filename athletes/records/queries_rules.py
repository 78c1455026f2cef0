"""Read what clubs changed of the rulebook, and pauses that somebody overruled."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from athletes.records.models import Membership, OverruledPause, Person, RuleChange, Squad
from athletes.records.viewer import Viewer
from coaching.rules.facts import OverruledFact
from coaching.rules.overrides import Change

CHANGERS = frozenset({"head-coach"})


def changes_of(athlete_ids: Sequence[int], as_of: date) -> dict[int, tuple[Change, ...]]:
    """Changes in force on a day, by athlete, of the clubs whose squads they are in. One query where no club has any."""
    by_club: dict[int, list[Change]] = defaultdict(list)
    for row in _rows(RuleChange.objects.filter(from_day__lte=as_of)):
        by_club[row[0]].append(row[1])
    if not by_club:
        return {}
    found: dict[int, dict[Change, None]] = defaultdict(dict)
    members = Membership.objects.filter(athlete_id__in=athlete_ids, squad__club_id__in=list(by_club))
    for athlete_id, club_id in members.order_by("squad__club_id").values_list("athlete_id", "squad__club_id"):
        found[athlete_id].update(dict.fromkeys(by_club[club_id]))
    return {athlete_id: tuple(changes) for athlete_id, changes in found.items()}


def club_changes(viewer: Viewer) -> tuple[Change, ...]:
    """Every change of the viewer's own clubs, those to come too."""
    return tuple(change for _, change in _rows(RuleChange.objects.filter(club_id__in=clubs(viewer))))


def clubs(viewer: Viewer, roles: Iterable[str] = ()) -> list[int]:
    """Clubs of the squads in which the viewer has a role, or one of these roles."""
    wanted = set(roles)
    squads = {g.squad_id for g in viewer.grants if g.squad_id and (not wanted or g.role in wanted)}
    return sorted(set(Squad.objects.filter(id__in=squads).values_list("club_id", flat=True)))


def athletes_of(club_id: int) -> list[int]:
    """Athletes in any squad of the club."""
    rows = Membership.objects.filter(squad__club_id=club_id).values_list("athlete_id", flat=True)
    return sorted(set(rows))


def overruled(ids: Sequence[int], as_of: date) -> dict[int, list[OverruledFact]]:
    """Pauses overruled by the evening of a day, by athlete."""
    found: dict[int, list[OverruledFact]] = defaultdict(list)
    rows = OverruledPause.objects.filter(athlete_id__in=ids, given_on__lte=as_of)
    columns = ("athlete_id", "form", "refusal_class", "local_date", "by_name", "note", "given_on")
    for key, *values in rows.values_list(*columns):
        found[key].append(OverruledFact(*values))
    return found


def name_of(viewer: Viewer) -> str:
    """The name of who is asking, as their own word is signed with it."""
    row = Person.objects.filter(id=viewer.person_id).values_list("name", flat=True).first()
    return row or ""


def _rows(rows: Any) -> list[tuple[int, Change]]:
    columns = ("club_id", "rule", "key", "value", "from_day", "reason", "by__person__name")
    return [
        (club_id, Change(rule, key, tuple(value) if isinstance(value, list) else value, day, reason, by or ""))
        for club_id, rule, key, value, day, reason, by in rows.order_by("from_day", "id").values_list(*columns)
    ]

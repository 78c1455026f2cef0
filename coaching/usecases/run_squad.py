"""Who is in the squad: the roster, one athlete more, a list of them from a spreadsheet, somebody taken out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db import transaction

from athletes.records import queries_squad, row_scope, writes_squad
from athletes.records.bundle.columns import Row
from athletes.records.bundle.report import BadBundle, BadRow
from athletes.records.errors import NotFound
from athletes.records.queries_squad import Member, SquadRun
from athletes.records.viewer import Viewer
from coaching.usecases import clock, sample
from coaching.usecases.storing import storing

HEAD = frozenset({"head-coach"})
COLUMNS = writes_squad.ROSTER.names
"""The columns of a spreadsheet of athletes; only the first must be there."""


@dataclass(frozen=True)
class SquadPage:
    """The squads that the viewer runs and who is in one of them; `zone` is the one that most of them live in."""

    today: date
    squads: tuple[SquadRun, ...]
    squad: SquadRun
    members: tuple[Member, ...]
    zone: str
    may_sample: bool = False  # nobody is there yet: a sample may be looked at first
    sampled: bool = False  # a sample stands, here or in another of the squads


@dataclass(frozen=True)
class Preview:
    """What a spreadsheet would add: its rows, how many of them are in the squad already, or every bad row."""

    names: tuple[str, ...]
    rows: tuple[Row, ...]
    known: int
    bad: tuple[BadRow, ...]
    text: str  # the file as CSV, empty where a row is bad


def squad_page(viewer: Viewer, code: str | None = None) -> SquadPage:
    """The page of one squad, the first by name without a code. Raises NotFound for whoever heads none."""
    squads = queries_squad.squads_run(viewer, HEAD)
    chosen = sorted((one for one in squads if code in (None, one.code)), key=lambda one: not one.sample)
    if not chosen:
        raise NotFound
    members = queries_squad.roster(viewer, chosen[:1])
    zones = Counter(one.timezone for one in members).most_common(1)
    return SquadPage(
        viewer.today, squads, chosen[0], members, zones[0][0] if zones else "",
        may_sample=not members and sample.may_begin(viewer), sampled=any(one.sample for one in squads),
    )  # fmt: skip


def add_athlete(viewer: Viewer, squad_code: str, values: Mapping[str, Any]) -> str:
    """Add one; their code. They share nothing until they, or their guardian, say so. Raises NotFound and BadInput."""
    squad = queries_squad.squad_run(viewer, squad_code, HEAD)
    sample.alone(viewer)
    return _added(squad, [values])[0]


def skin_is_shared(member: Member) -> bool:
    """The athlete shares the class of data that the kind of skin is of."""
    return queries_squad.OF_SKIN in member.shared


def profile(viewer: Viewer, code: str) -> Member:
    """One athlete of the viewer's squads. Raises NotFound."""
    return queries_squad.member(viewer, code, HEAD)


def change_athlete(viewer: Viewer, code: str, values: Mapping[str, Any]) -> bool:
    """Correct a profile; True where it says something else now. The kind of skin stays as it is where it is not shared:
    who may not read it does not write over it either. Raises NotFound and BadInput.
    """
    found, at = queries_squad.member(viewer, code, HEAD), clock.now()
    if not skin_is_shared(found):
        values = {name: value for name, value in values.items() if name != "skin_kind"}
    with row_scope.besides([found.id]), storing([found.id], at):
        return writes_squad.change_athlete(found.id, values, made_at=at, by=viewer.account_id)


def preview_roster(viewer: Viewer, squad_code: str, data: bytes) -> Preview:
    """Look at a spreadsheet; nothing is stored. Raises NotFound."""
    squad = queries_squad.squad_run(viewer, squad_code, HEAD)
    found = writes_squad.read_roster(data)
    new = _new(viewer, squad, found.rows)
    return Preview(COLUMNS, tuple(new), len(found.rows) - len(new), found.bad, found.text)


def add_roster(viewer: Viewer, squad_code: str, data: bytes) -> int:
    """Add everybody of a spreadsheet who is not in the squad yet: all of them or nobody; how many. Raises NotFound,
    BadInput while a sample stands, and BadBundle with every bad row.
    """
    squad = queries_squad.squad_run(viewer, squad_code, HEAD)
    sample.alone(viewer)
    found = writes_squad.read_roster(data)
    if found.bad:
        raise BadBundle(found.bad)
    rows = _new(viewer, squad, found.rows)
    return len(_added(squad, [dict(zip(COLUMNS, row, strict=True)) for row in rows]))


def take_out(viewer: Viewer, squad_code: str, athlete_code: str) -> Member:
    """Take somebody out of a squad: its coaches see nothing of them from now on. Raises NotFound."""
    squad = queries_squad.squad_run(viewer, squad_code, HEAD)
    for one in queries_squad.roster(viewer, [squad]):
        if one.code == athlete_code:
            with storing([one.id], clock.now()):
                writes_squad.take_out(squad.id, one.id)
            return one
    raise NotFound


def put_back(viewer: Viewer, squad_code: str, athlete_id: int) -> None:
    """Undo that. The caller vouches that this viewer took this athlete out of this squad. Raises NotFound, and BadInput
    while a sample stands.
    """
    squad = queries_squad.squad_run(viewer, squad_code, HEAD)
    sample.alone(viewer)
    with storing([athlete_id], clock.now()):
        writes_squad.put_back(squad.id, athlete_id)


def _new(viewer: Viewer, squad: SquadRun, rows: tuple[Row, ...]) -> list[Row]:
    """Rows of people who are not in the squad: the same name and birth date is the same person."""
    known = {(one.name, one.birth_date) for one in queries_squad.roster(viewer, [squad])}
    return [row for row in rows if (row[0], row[1]) not in known]


def _added(squad: SquadRun, people: list[Mapping[str, Any]]) -> list[str]:
    with transaction.atomic():
        made = [writes_squad.make_athlete(squad.id, values) for values in people]
        with storing([key for key, _ in made], clock.now()):
            return [code for _, code in made]

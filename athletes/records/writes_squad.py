"""A club, its squads and their rosters, events and who goes. Only use-cases call this, inside their transaction."""

from __future__ import annotations

import io
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import uuid4

import tablib

from athletes.records import choices
from athletes.records.bundle.columns import TABLES, Row, Table, row_problem
from athletes.records.bundle.reading import read_table
from athletes.records.bundle.report import BadRow, bad_row
from athletes.records.bundle.values import Column
from athletes.records.models import Athlete, Club, Correction, Entry, Event, EventNote, Membership, Person, Role, Squad
from athletes.records.writes import picture

LARGEST_FILE = 1_000_000
MOST_ATHLETES = 500
_ATHLETES = TABLES["athletes.csv"]
PROFILE = ("name", "birth_date", "timezone", "dominant_hand", "skin_kind")
ROSTER = Table(
    "athletes.csv",
    (
        Column("name", "text", True, True, longest=200),
        Column("birth_date", "day"),
        Column("timezone", "zone"),
        Column("dominant_hand", "code", codes=choices.HANDS),
        Column("skin_kind", "code", codes=choices.SKIN_KINDS),
    ),
    key=("name", "birth_date"),
)
"""A list of people as a club has it: only the name is needed, and no key of ours."""


@dataclass(frozen=True)
class RosterFile:
    """Rows that can be stored, in the order of the file, every bad one, and the file as CSV."""

    rows: tuple[Row, ...]
    bad: tuple[BadRow, ...]
    text: str = ""


def read_roster(data: bytes) -> RosterFile:
    """The people of a spreadsheet: CSV with commas or semicolons, or the first sheet of an XLSX workbook."""
    if len(data) > LARGEST_FILE:
        return RosterFile((), (bad_row(ROSTER.file, None, None, "too-large", hint="1 MB"),))
    if data[:4] == b"PK\x03\x04":
        try:
            data = _csv_of_workbook(data)
        except Exception:  # noqa: BLE001 - whatever a broken workbook raises, the answer is one sentence
            return RosterFile((), (bad_row(ROSTER.file, None, None, "not-a-workbook"),))
    head = data.split(b"\n", 1)[0]
    if head.count(b";") > head.count(b","):
        data = _with_commas(data)
    rows, bad = read_table(ROSTER, data)
    if len(rows.rows) > MOST_ATHLETES:
        bad = [*bad, bad_row(ROSTER.file, None, None, "too-many", hint=str(MOST_ATHLETES))]
    return RosterFile(tuple(rows.rows), tuple(bad), "" if bad else data.decode("utf-8-sig"))


def _csv_of_workbook(data: bytes) -> bytes:
    """Days as ISO dates, whatever the cells' format; empty rows at the end are dropped."""
    book = tablib.Dataset().load(io.BytesIO(data), format="xlsx")
    found = tablib.Dataset(headers=[str(name or "").strip() for name in book.headers or ()])
    for row in book:
        cells = [_cell(value) for value in row]
        if any(cells):
            found.append(cells)
    return str(found.export("csv")).encode()


def _cell(value: Any) -> str:
    if isinstance(value, datetime):
        return value.date().isoformat()
    return value.isoformat() if isinstance(value, date) else str("" if value is None else value).strip()


def _with_commas(data: bytes) -> bytes:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data
    found = tablib.Dataset().load(text, format="csv", delimiter=";")
    return str(found.export("csv")).encode()


def make_club(club: str, squad: str, coach: str) -> str:
    """A club with one squad and its head coach; the code of the coach's person."""
    row = Squad.objects.create(
        club=Club.objects.get_or_create(name=club)[0], code=f"s-{uuid4().hex[:12]}", name=squad
    )
    person = Person.objects.create(code=f"n-{uuid4().hex[:12]}", name=coach)
    Role.objects.create(person=person, squad=row, role="head-coach")
    return person.code


def make_athlete(squad_id: int, values: Mapping[str, Any]) -> tuple[int, str]:
    """Add an athlete to a squad; key and code. Raises BadInput."""
    code = f"a-{uuid4().hex[:12]}"
    row = Athlete.objects.create(code=code, **_profile(values))
    Membership.objects.create(squad_id=squad_id, athlete=row)
    return row.id, code


def change_athlete(athlete_id: int, values: Mapping[str, Any], *, made_at: datetime, by: int | None) -> bool:
    """Correct what is named of a profile, with a trace; True where it says something else now. Raises BadInput."""
    row = Athlete.objects.select_for_update().get(id=athlete_id)
    found = {name: value for name, value in _profile(values).items() if name in values}
    if all(getattr(row, name) == value for name, value in found.items()):
        return False
    before = picture(row)
    for name, value in found.items():
        setattr(row, name, value)
    row.save(update_fields=list(found))
    Correction.objects.create(
        athlete_id=athlete_id, table="athlete", row_id=athlete_id, made_at=made_at, by_id=by, before=before,
        after=picture(row),
    )  # fmt: skip
    return True


def _profile(values: Mapping[str, Any]) -> dict[str, Any]:
    found = {name: _ATHLETES.admit(name, values.get(name)) for name in PROFILE}
    words = {name: found[name] or "" for name in ("dominant_hand", "skin_kind")}
    return {**found, **words, "timezone": found["timezone"] or "UTC"}


def take_out(squad_id: int, athlete_id: int) -> None:
    """End a membership; what is known of the athlete stays theirs."""
    Membership.objects.filter(squad_id=squad_id, athlete_id=athlete_id).delete()


def put_back(squad_id: int, athlete_id: int) -> None:
    """Make a membership that has ended anew."""
    Membership.objects.get_or_create(squad_id=squad_id, athlete_id=athlete_id)


def make_event(values: Mapping[str, Any], place_id: int | None) -> tuple[int, str]:
    """Add an event; key and code. `values` are the columns of events.csv but for its code and place. Raises
    BadInput.
    """
    table, code = TABLES["events.csv"], f"e-{uuid4().hex[:12]}"
    whole = {"event_id": code, **values}
    found = {name: table.admit(name, whole.get(name)) for name in table.names}
    if error := row_problem(table, tuple(found[name] for name in table.names)):
        raise error
    del found["event_id"], found["place_id"]
    found |= {"surface": found["surface"] or "", "styles": list(found["styles"])}
    return Event.objects.create(code=code, place_id=place_id, **found).id, code


def enter(event_id: int, athlete_ids: Iterable[int], status: str, priority: int | None) -> None:
    """Enter athletes who are not in the event yet. Raises BadInput."""
    table = TABLES["entries.csv"]
    told = {"status": table.admit("status", status) or "", "priority": table.admit("priority", priority)}
    Entry.objects.bulk_create([Entry(event_id=event_id, athlete_id=one, **told) for one in athlete_ids])


def note_event(event_id: int, squad_id: int, kind: str, text: str, made_at: datetime, by: int | None) -> None:
    """Append what somebody of the squad's club wrote about the event; an empty text takes the last one back."""
    squad = Squad.objects.get(id=squad_id)
    name = Person.objects.filter(account__id=by).values_list("name", flat=True).first() or ""
    EventNote.objects.create(
        event_id=event_id, club_id=squad.club_id, kind=kind, text=text, made_at=made_at, by_id=by, by_name=name
    )

"""The tables of the history bundle: their columns, what makes a row the same row, and what refers to what."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from athletes.records import choices
from athletes.records.bundle.problems import bad_input
from athletes.records.bundle.values import Column, admit
from athletes.records.errors import BadInput

Row = tuple[Any, ...]
ID, NAME, WORD, NOTE = 64, 200, 32, 10_000


@dataclass(frozen=True)
class Table:
    """One file of the bundle.

    `key` names the columns that make two rows the same row; empty: rows are a multiset. `refers` maps a
    column to the file whose first column it must be found in; `ordered` holds pairs of columns, the first not
    after the second.
    """

    file: str
    columns: tuple[Column, ...]
    key: tuple[str, ...] = ()
    refers: dict[str, str] = field(default_factory=dict)
    ordered: tuple[tuple[str, str], ...] = ()

    def index(self, name: str) -> int:
        return self.names.index(name)

    def column(self, name: str) -> Column:
        return self.columns[self.index(name)]

    @cached_property
    def names(self) -> tuple[str, ...]:
        return tuple(column.name for column in self.columns)

    def admit(self, name: str, value: Any) -> Any:
        """The value as this column stores it. Raises BadInput, an unknown column included."""
        if name not in self.names:
            raise bad_input(name, "unknown-column", value, ", ".join(self.names))
        return admit(self.column(name), value)


def _id(name: str, *, needed: bool = True, filled: bool = True) -> Column:
    return Column(name, "id", needed, filled, longest=ID)


def _day(name: str) -> Column:
    return Column(name, "day", True, True)


def _code(name: str, codes: tuple[str, ...], *, needed: bool = False) -> Column:
    return Column(name, "code", needed, needed, codes=codes)


def _codes(name: str, codes: tuple[str, ...]) -> Column:
    return Column(name, "codes", codes=codes)


def _note(name: str, longest: int = NOTE) -> Column:
    return Column(name, "text", longest=longest)


def _number(name: str, low: float, high: float, *, needed: bool = False, filled: bool = False) -> Column:
    return Column(name, "number", needed, filled, low, high)


def _whole(name: str, low: int, high: int) -> Column:
    return Column(name, "whole", low=low, high=high)


def _flag(name: str) -> Column:
    return Column(name, "flag")


def _rating(name: str) -> Column:
    return _whole(name, 0, 10)


def _marks(*, needed: bool = False) -> Column:
    return Column("marks", "marks", needed, codes=choices.MARKS)


ATHLETE = {"athlete_id": "athletes.csv"}
ALL_FORMS = tuple(form for forms in choices.FORMS.values() for form in forms)

_TABLES = (
    Table(
        "athletes.csv",
        (
            _id("athlete_id"),
            Column("name", "text", True, True, longest=NAME),
            Column("birth_date", "day", True),
            Column("timezone", "zone"),
            _code("dominant_hand", choices.HANDS),
            _code("skin_kind", choices.SKIN_KINDS),
            _codes("sensitivities", choices.SENSITIVITIES),
            _codes("contraindications", choices.CONTRAINDICATIONS),
        ),
        key=("athlete_id",),
    ),
    Table(
        "squads.csv",
        (
            _id("squad_id"),
            Column("name", "text", True, True, longest=NAME),
            _id("athlete_id", filled=False),
        ),
        key=("squad_id", "athlete_id"),
        refers=ATHLETE,
    ),
    Table(
        "people.csv",
        (
            _id("person_id"),
            Column("name", "text", True, True, longest=NAME),
            _code("role", choices.ROLES, needed=True),
            _id("squad_id", filled=False),
            _id("athlete_id", needed=False, filled=False),
        ),
        key=("person_id", "role", "squad_id", "athlete_id"),
        refers={"squad_id": "squads.csv", **ATHLETE},
    ),
    Table(
        "consents.csv",
        (
            _id("athlete_id"),
            _code("grantee_role", choices.ROLES, needed=True),
            _code("class", choices.DATA_CLASSES, needed=True),
            _code("purpose", choices.PURPOSES, needed=True),
            _day("given_on"),
            Column("until", "day"),
            Column("withdrawn_on", "day"),
        ),
        refers=ATHLETE,
        ordered=(("given_on", "until"),),
    ),
    Table(
        "places.csv",
        (
            _id("place_id"),
            Column("name", "text", True, True, longest=NAME),
            _number("lat", -90, 90),
            _number("lon", -180, 180),
            _number("altitude_m", -500, 9000),
            _code("kind", choices.PLACE_KINDS),
            _note("rock", WORD),
            _number("face_deg", 0, 360),
            _number("skyline_deg", 0, 90),
            _number("coast_deg", 0, 360),
            _code("exposure", choices.EXPOSURES),
        ),
        key=("place_id",),
    ),
    Table(
        "air.csv",
        (
            _id("place_id"),
            Column("starts_at", "instant", True, True),
            _number("temp_c", -60, 60, needed=True, filled=True),
            _number("rh_pct", 0, 100, needed=True, filled=True),
            _number("wind_m_s", 0, 120),
            _number("wind_from_deg", 0, 360),
            _number("pressure_hpa", 300, 1100),
            _number("rain_mm", 0, 500),
            _number("cloud_pct", 0, 100),
            Column("known_at", "instant"),
        ),
        key=("place_id", "starts_at", "known_at"),
        refers={"place_id": "places.csv"},
    ),
    Table(
        "events.csv",
        (
            _id("event_id"),
            Column("name", "text", True, True, longest=NAME),
            _code("kind", choices.EVENT_KINDS, needed=True),
            _day("first_day"),
            _day("last_day"),
            Column("timezone", "zone", True, True),
            _id("place_id", needed=False, filled=False),
            _code("surface", choices.SURFACES),
            Column("styles", "words", longest=WORD),
            _number("bar", 0, 100),
            Column("entry_deadline", "instant"),
        ),
        key=("event_id",),
        refers={"place_id": "places.csv"},
        ordered=(("first_day", "last_day"),),
    ),
    Table(
        "entries.csv",
        (
            _id("event_id"),
            _id("athlete_id"),
            _whole("priority", 1, 3),
            Column("needs_sites", "sites"),
            _code("status", choices.ENTRY_STATUSES),
        ),
        key=("event_id", "athlete_id"),
        refers={"event_id": "events.csv", **ATHLETE},
    ),
    Table(
        "checkins.csv",
        (
            _id("athlete_id"),
            _day("local_date"),
            Column("made_at", "instant"),
            _whole("rating_step", 1, 2),
            _rating("reserve"),
            _rating("dampness"),
            _rating("hardness"),
            _rating("sting"),
            _rating("pull_pain"),
            _flag("agent_used"),
            _marks(),
            _codes("red_flags", choices.RED_FLAGS),
            _number("seconds", 0, 86400),
            _note("note"),
        ),
        key=("athlete_id", "local_date"),
        refers=ATHLETE,
    ),
    Table(
        "sessions.csv",
        (
            _id("athlete_id"),
            _day("local_date"),
            _whole("ordinal", 1, 9),
            Column("planned", "flag", True, True),
            _number("minutes", 0, 1440, needed=True),
            _number("rpe", 0, 10, needed=True),
            Column("surface", "code", True, codes=choices.SURFACES),
            _whole("hard_tries", 0, 1000),
            _flag("skin_limited"),
            _id("place_id", needed=False, filled=False),
            Column("started_at", "instant"),
        ),
        refers={"place_id": "places.csv", **ATHLETE},
    ),
    Table(
        "care.csv",
        (
            _id("athlete_id"),
            _day("local_date"),
            _code("status", choices.CARE_STATUSES, needed=True),
            _code("verb", choices.VERBS, needed=True),
            _code("form", ALL_FORMS, needed=True),
            _code("strength", choices.STRENGTHS),
            _code("part", choices.PARTS),
            _whole("uses", 0, 20),
            Column("sites", "sites"),
            _code("reaction", choices.REACTIONS),
            _note("product_note"),
        ),
        refers=ATHLETE,
    ),
    Table(
        "signoffs.csv",
        (
            _id("athlete_id"),
            _code("form", ALL_FORMS, needed=True),
            _code("by", choices.SIGNOFF_BY, needed=True),
            _day("given_on"),
            Column("until", "day"),
        ),
        refers=ATHLETE,
        ordered=(("given_on", "until"),),
    ),
    Table(
        "damage.csv",
        (
            _id("episode_id"),
            _id("athlete_id"),
            Column("site", "site", True, True),
            _code("kind", choices.DAMAGE_KINDS, needed=True),
            _day("noticed_on"),
            _code("depth", choices.DEPTHS),
            _number("length_mm", 0, 200),
            _number("width_mm", 0, 200),
            _note("cause"),
            _codes("worries", choices.WORRIES),
        ),
        key=("episode_id",),
        refers=ATHLETE,
    ),
    Table(
        "damage_looks.csv",
        (
            _id("episode_id"),
            _day("local_date"),
            _code("stage", choices.STAGES, needed=True),
            _rating("pain"),
            _flag("opens_on_pull"),
            _flag("balm_night"),
            _flag("taped"),
            _flag("bled"),
        ),
        refers={"episode_id": "damage.csv"},
    ),
    Table(
        "away.csv",
        (
            _id("athlete_id"),
            _day("first_day"),
            _day("last_day"),
            _code("kind", choices.AWAY_KINDS, needed=True),
        ),
        refers=ATHLETE,
        ordered=(("first_day", "last_day"),),
    ),
    Table(
        "sightings.csv",
        (
            _id("athlete_id"),
            _day("local_date"),
            _code("by", choices.SIGHTING_BY, needed=True),
            _marks(needed=True),
            _note("note"),
        ),
        refers=ATHLETE,
    ),
)

TABLES: dict[str, Table] = {table.file: table for table in _TABLES}
"""Every table, in an order in which each row comes after those it refers to."""


def row_problem(table: Table, row: Row) -> BadInput | None:
    """What is wrong with a row whose values are each right, or None."""
    value = dict(zip(table.names, row, strict=True))
    for first, last in table.ordered:
        if value[last] is not None and value[first] > value[last]:
            return bad_input(last, "before-first", value[last], value[first].isoformat())
    if table.file == "care.csv" and value["form"] not in choices.FORMS[value["verb"]]:
        return bad_input("form", "not-a-form-of-verb", value["form"], ", ".join(choices.FORMS[value["verb"]]))
    if table.file == "people.csv" and value["role"] in ("athlete", "guardian") and not value["athlete_id"]:
        return bad_input("athlete_id", "missing", None)
    return None

"""The rows of an event as CSV and XLSX, read back by the standard library and by openpyxl."""

from __future__ import annotations

import csv
import io
import subprocess
import sys
from datetime import date
from typing import Any

import pytest
from openpyxl import load_workbook

from coaching.sheets.event_table import event_table_csv, event_table_xlsx, harmless
from coaching.sheets.values import Cell, EventTable
from coaching.wording.event_table import table_of
from tests import event_cast as events
from tests import shown_cast as cast

FORMULAS = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1"]


def table(*cells: Cell) -> EventTable:
    head = tuple(f"column {n}" for n in range(len(cells)))
    return EventTable("Event", head, (cells,), events.KNOWN_AT)


def read_csv(made: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(made.decode("utf-8-sig"), newline="")))


def read_xlsx(made: bytes) -> list[tuple[Any, ...]]:
    sheet = load_workbook(io.BytesIO(made)).active
    assert sheet is not None
    return list(sheet.iter_rows(values_only=True))


@pytest.mark.parametrize("text", FORMULAS)
def test_a_formula_becomes_text(text: str) -> None:
    """The list of leading signs is that of the OWASP page on CSV injection."""
    assert harmless(text) == f"'{text}"
    assert read_csv(event_table_csv(table(text)))[1] == [f"'{text}"]
    workbook = load_workbook(io.BytesIO(event_table_xlsx(table(text))))
    cell = workbook.active["A2"]  # type: ignore[index]
    assert cell.data_type == "s" and str(cell.value).startswith("'")


@pytest.mark.parametrize("value", [0, 46, -3, 0.5, -0.25])
def test_numbers_stay_numbers(value: float) -> None:
    assert harmless(value) == value
    assert read_xlsx(event_table_xlsx(table(value)))[1] == (value,)
    assert float(read_csv(event_table_csv(table(value)))[1][0]) == value


def test_not_known_is_an_empty_cell_and_never_a_zero() -> None:
    assert read_csv(event_table_csv(table(None, "x")))[1] == ["", "x"]
    assert read_xlsx(event_table_xlsx(table(None, "x")))[1] == (None, "x")


def test_the_csv_has_the_byte_order_mark_and_lines_of_rfc_4180() -> None:
    made = event_table_csv(table('say "so", twice', "Zoë"))
    assert made.startswith(b"\xef\xbb\xbf") and made.count(b"\r\n") == 2
    assert read_csv(made)[1] == ['say "so", twice', "Zoë"]


@pytest.mark.parametrize("name", [*events.HOSTILE, "a\x00b", "\ud800x", "\ufffe", "李小龍 😀", "x" * 400])
def test_any_name_makes_a_file_that_reads_back(name: str) -> None:
    made = table_of(events.page([events.row(name)]))
    line, cells = read_csv(event_table_csv(made))[1], read_xlsx(event_table_xlsx(made))[1]
    assert line[6] == (cells[6] or "") == harmless(name)
    assert len(line) == len(cells) == len(made.head)


def test_days_are_iso_and_chances_are_numbers_in_100() -> None:
    made = table_of(events.page([events.row()]))
    line = dict(zip(made.head, made.rows[0], strict=True))
    assert date.fromisoformat(str(line["first day"])) == date(2027, 3, 20)
    assert line["as known at"] == "2027-03-11T06:04:00+00:00"
    assert (line["skin holds, of 100"], line["range from"], line["range to"], line["bar"]) == (45, 30, 60, 60)
    assert (line["next look"], line["call"], line["level"]) == ("2027-03-15", "only if", "act")


def test_a_chance_that_is_not_known_stays_empty() -> None:
    made = table_of(events.page([events.row(entries=(cast.entry("not-known", ()),))]))
    line = dict(zip(made.head, made.rows[0], strict=True))
    assert line["level"] == "not known"
    assert line["skin holds, of 100"] is line["range from"] is line["range to"] is None


def test_the_same_values_make_the_same_bytes() -> None:
    made = table_of(events.page([events.row(), events.free()]))
    assert event_table_xlsx(made) == event_table_xlsx(made)
    assert event_table_csv(made) == event_table_csv(made)
    workbook = load_workbook(io.BytesIO(event_table_xlsx(made)))
    assert workbook.properties.created.isoformat() == "2027-03-11T06:04:00"


def test_sheets_know_no_web_and_no_database() -> None:
    """In a process of its own: this one has loaded everything."""
    asked = (
        "import sys, coaching.sheets.event_sheet, coaching.sheets.event_table; print('django' in sys.modules)"
    )
    told = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "False"

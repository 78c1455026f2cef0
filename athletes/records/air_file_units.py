"""A file of air in other units than the bundle's: its columns say which, or whoever brings it does. None is guessed."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from athletes.records.bundle.report import BadRow, bad_row
from athletes.records.bundle.values import NUMBER
from coaching.science.air.wind import M_S_PER

FILE = "air.csv"
STATED: Mapping[str, tuple[str, str]] = {
    "temp_f": ("temp_c", "F"), "wind_kmh": ("wind_m_s", "km/h"), "wind_mph": ("wind_m_s", "mph"),
    "wind_kn": ("wind_m_s", "kn"),
}  # fmt: skip
"""Columns that say their unit, with what they are in the bundle."""
UNSTATED: Mapping[str, str] = {"temp": "temp_c", "wind": "wind_m_s"}
"""Columns that say none, with what they are in the bundle."""


@dataclass(frozen=True)
class FileUnits:
    """Units of the columns `temp` and `wind`; empty where nobody said."""

    temperature: str = ""
    wind: str = ""

    def of(self, column: str) -> str:
        return self.temperature if column == "temp_c" else self.wind


@dataclass(frozen=True)
class InSi:
    """The file with the bundle's own columns in C and m/s, and which column of the file each of them was."""

    data: bytes
    told: Mapping[str, str] = field(default_factory=dict)  # column of the bundle: column of the file
    units: Mapping[str, str] = field(default_factory=dict)  # column of the bundle: unit it was read in
    bad: tuple[BadRow, ...] = ()

    def named(self, row: BadRow) -> BadRow:
        """A bad row under the name that the column has in the file."""
        return replace(row, column=self.told[row.column], value="") if row.column in self.told else row


def in_si(data: bytes, chosen: FileUnits) -> InSi:
    """The file in the bundle's units. What is no table, or is in them already, is handed on as it is."""
    try:
        rows = list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline=""), strict=True))
    except (UnicodeDecodeError, csv.Error):
        return InSi(data)
    names = [name.strip() for name in rows[0]] if rows else []
    found = {at: _read(name, names, chosen) for at, name in enumerate(names) if name in STATED or name in UNSTATED}
    if not found or len({column for column, _ in found.values()}) < len(found):
        return InSi(data)
    mute = [names[at] for at, (_, unit) in found.items() if not unit]
    if mute:
        hint = "temp_c, temp_f, wind_m_s, wind_kmh, wind_mph, wind_kn"
        return InSi(data, bad=tuple(bad_row(FILE, 1, name, "no-unit", hint=hint) for name in mute))
    head = [found[at][0] if at in found else name for at, name in enumerate(names)]
    body = [[_cell(text, *found[at]) if at in found else text for at, text in enumerate(row)] for row in rows[1:]]
    out = io.StringIO(newline="")
    csv.writer(out).writerows([head, *body])
    told = {found[at][0]: names[at] for at in found}
    return InSi(out.getvalue().encode(), told, dict(found.values()))


def _read(name: str, names: list[str], chosen: FileUnits) -> tuple[str, str]:
    """(column of the bundle, unit); a file that has that column as well keeps the name, which is then refused."""
    column, unit = STATED.get(name) or (UNSTATED[name], chosen.of(UNSTATED[name]))
    return (name, unit) if column in names else (column, unit)


def _cell(text: str, column: str, unit: str) -> str:
    """A number in C or m/s, to a millionth; anything else stays as it is and is refused by what reads it."""
    if not NUMBER.fullmatch(text.strip()):
        return text
    value = float(text)
    if column == "temp_c":
        return repr(round((value - 32.0) / 1.8, 6)) if unit == "F" else text
    return repr(round(value * M_S_PER[unit], 6)) if unit in M_S_PER else text

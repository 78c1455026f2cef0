"""What became of an import: how much was stored, or every row that stood in its way."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.translation import gettext

from athletes.records.bundle import problems
from athletes.records.errors import BadInput


@dataclass(frozen=True)
class BadRow:
    """One thing to put right. Rows are counted as a spreadsheet shows them: the names of the columns are row
    1.
    """

    file: str
    row: int | None
    column: str | None
    wrong: str
    remedy: str
    value: str = ""

    def __str__(self) -> str:
        where = [self.file]
        if self.row:
            where.append(gettext("row {n}").format(n=self.row))
        if self.column:
            where.append(gettext("column {name}").format(name=self.column))
        shown = f" {self.value!r}" if self.value else ""
        return problems.sentence(", ".join(where) + ":" + shown, self.wrong, self.remedy)


def bad_row(
    file: str, row: int | None, column: str | None, code: str, value: object = "", hint: str = ""
) -> BadRow:
    """A bad row by the code of what is wrong with it."""
    return BadRow(file, row, column, problems.wrong(code, hint), problems.remedy(code, hint), short(value))


def of_input(file: str, row: int, error: BadInput, text: str | None = None) -> BadRow:
    """A bad row for a value that was refused, shown as the file has it."""
    value = error.value if text is None else text.strip()
    return BadRow(file, row, error.field, error.problem, error.remedy, short(value))


def short(value: object, longest: int = 60) -> str:
    """A value as a report may show it."""
    text = "" if value is None else str(value)
    return text if len(text) <= longest else text[: longest - 3] + "..."


class BadBundle(ValueError):
    """The bundle was refused and nothing of it is stored. `rows` says why, all of it."""

    def __init__(self, rows: Iterable[BadRow]) -> None:
        self.rows = tuple(sorted(rows, key=lambda bad: (bad.file, bad.row or 0, bad.column or "")))
        super().__init__("\n".join(map(str, self.rows)))


@dataclass(frozen=True)
class ImportReport:
    """`stored` and `already` count the rows of each table (its file's name without the ending) new and known
    before.
    """

    digest: str
    stored: dict[str, int]
    already: dict[str, int]
    athlete_ids: tuple[int, ...]

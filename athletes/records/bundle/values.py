"""One value of one column: from text, from a program, and back to the one text that stands for it.

The same checks serve a file, a form and the API, and mirror the constraints of the database.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any

from athletes.records import choices
from athletes.records.bundle.problems import bad_input
from athletes.records.bundle.zones import is_zone
from athletes.records.errors import BadInput

WHOLE = re.compile(r"[+-]?[0-9]{1,9}(\.0*)?", re.ASCII)
NUMBER = re.compile(r"[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]{1,3})?", re.ASCII)
DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", re.ASCII)
CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")
YEARS = (1900, 2200)


@dataclass(frozen=True)
class Column:
    """A column of a table: `needed` must be in the header, `filled` must not be empty in any row."""

    name: str
    kind: str
    needed: bool = False
    filled: bool = False
    low: float = -math.inf
    high: float = math.inf
    codes: tuple[str, ...] = ()
    longest: int = 0

    @property
    def hint(self) -> str:
        if self.codes:
            return ", ".join(self.codes)
        return f"{self.low:g} to {self.high:g}" if math.isfinite(self.low) else ""

    def refuse(self, problem: str, value: object, hint: str | None = None) -> BadInput:
        return bad_input(self.name, problem, value, self.hint if hint is None else hint)


def admit(column: Column, value: Any) -> Any:
    """The value in its stored form; None where it is not known. Raises BadInput."""
    if value is None or value == "":
        if column.filled:
            raise column.refuse("missing", value)
        return () if column.kind in LISTS else None
    return ADMIT[column.kind](column, value)


def read(column: Column, text: str) -> Any:
    """`admit` for the text of a file, spaces around it not counted."""
    stripped = text.strip()
    if not stripped:
        return admit(column, None)
    return admit(column, READ[column.kind](column, stripped))


def show(column: Column, value: Any) -> str:
    """The one text that stands for a value; equal values have equal texts."""
    if value is None or value == ():
        return ""
    return SHOW[column.kind](value)


def _text(column: Column, value: Any) -> str:
    if not isinstance(value, str):
        raise column.refuse("not-text", value)
    text = value.strip().replace("\r\n", "\n").replace("\r", "\n")
    if CONTROL.search(text):
        raise column.refuse("control-character", value)
    if len(text) > column.longest:
        raise column.refuse("too-long", value, str(column.longest))
    return text


def _day(column: Column, value: Any) -> date:
    if not isinstance(value, date) or isinstance(value, datetime):
        raise column.refuse("not-a-date", value, "YYYY-MM-DD")
    if not YEARS[0] <= value.year <= YEARS[1]:
        raise column.refuse("out-of-range", value, f"{YEARS[0]} to {YEARS[1]}")
    return value


def _instant(column: Column, value: Any) -> datetime:
    if not isinstance(value, datetime) or value.utcoffset() is None:
        raise column.refuse("not-an-instant", value, "YYYY-MM-DDTHH:MM:SS+HH:MM")
    if not YEARS[0] <= value.year <= YEARS[1]:
        raise column.refuse("out-of-range", value, f"{YEARS[0]} to {YEARS[1]}")
    return value.astimezone(UTC)


def _number(column: Column, value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise column.refuse("not-a-number", value)
    if not math.isfinite(value):
        raise column.refuse("not-finite", value)
    if not column.low <= value <= column.high:
        raise column.refuse("out-of-range", value)
    return float(value) + 0.0  # no minus zero


def _whole(column: Column, value: Any) -> int:
    number = _number(column, value)
    if not number.is_integer():
        raise column.refuse("not-whole", value)
    return int(number)


def _flag(column: Column, value: Any) -> bool:
    if not isinstance(value, bool):
        raise column.refuse("not-yes-or-no", value, "yes, no")
    return value


def _code(column: Column, value: Any) -> str:
    if value not in column.codes:
        raise column.refuse("unknown-code", value)
    return str(value)


def _site(column: Column, value: Any) -> str:
    if value not in choices.SITES:
        raise column.refuse("unknown-site", value, "L-index-tip")
    return str(value)


def _zone(column: Column, value: Any) -> str:
    if not is_zone(value):
        raise column.refuse("unknown-timezone", value, "Europe/Vienna")
    return str(value)


def _several(one: Callable[[Column, Any], Any]) -> Callable[[Column, Any], tuple[Any, ...]]:
    def each(column: Column, value: Any) -> tuple[Any, ...]:
        if isinstance(value, str) or not isinstance(value, Iterable):
            raise column.refuse("not-a-list", value)
        return tuple(sorted({one(column, item) for item in value}))

    return each


def _mark(column: Column, value: Any) -> tuple[str, str]:
    if not isinstance(value, tuple | list) or len(value) != 2:
        raise column.refuse("not-a-mark", value, "L-index-tip=pink")
    return _site(column, value[0]), _code(column, value[1])


def _word(column: Column, value: Any) -> str:
    text = _text(column, value)
    if ";" in text:
        raise column.refuse("semicolon", value)
    return text


def _read_day(column: Column, text: str) -> date:
    try:
        if not DAY.fullmatch(text):
            raise ValueError
        return date.fromisoformat(text)
    except ValueError:
        raise column.refuse("not-a-date", text, "YYYY-MM-DD") from None


def _read_instant(column: Column, text: str) -> datetime:
    try:
        if not DAY.match(text):
            raise ValueError
        return datetime.fromisoformat(text)
    except ValueError:
        raise column.refuse("not-an-instant", text, "YYYY-MM-DDTHH:MM:SS+HH:MM") from None


def _read_number(column: Column, text: str) -> float:
    if text.lstrip("+-").lower() in ("nan", "inf", "infinity"):
        raise column.refuse("not-finite", text)
    if not NUMBER.fullmatch(text):
        raise column.refuse("not-a-number", text)
    return float(text)


def _read_whole(column: Column, text: str) -> float:
    if not WHOLE.fullmatch(text):
        number = _read_number(column, text)
        raise column.refuse("not-whole" if math.isfinite(number) else "not-finite", text)
    return float(text)


def _read_flag(column: Column, text: str) -> Any:
    return {"yes": True, "no": False}.get(text, text)


def _read_list(column: Column, text: str) -> list[str]:
    return [part.strip() for part in text.split(";") if part.strip()]


def _read_marks(column: Column, text: str) -> list[tuple[str, ...]]:
    return [tuple(half.strip() for half in part.split("=")) for part in _read_list(column, text)]


def _as_is(column: Column, text: str) -> str:
    return text


def _show_number(value: float) -> str:
    return str(int(value)) if float(value).is_integer() and abs(value) < 1e15 else repr(float(value))


ADMIT: dict[str, Callable[[Column, Any], Any]] = {
    "id": _text,
    "text": _text,
    "day": _day,
    "instant": _instant,
    "number": _number,
    "whole": _whole,
    "flag": _flag,
    "code": _code,
    "site": _site,
    "zone": _zone,
    "codes": _several(_code),
    "sites": _several(_site),
    "marks": _several(_mark),
    "words": _several(_word),
}
READ: dict[str, Callable[[Column, str], Any]] = {
    "id": _as_is,
    "text": _as_is,
    "day": _read_day,
    "instant": _read_instant,
    "number": _read_number,
    "whole": _read_whole,
    "flag": _read_flag,
    "code": _as_is,
    "site": _as_is,
    "zone": _as_is,
    "codes": _read_list,
    "sites": _read_list,
    "marks": _read_marks,
    "words": _read_list,
}
SHOW: dict[str, Callable[[Any], str]] = {
    "id": str,
    "text": str,
    "code": str,
    "site": str,
    "zone": str,
    "day": date.isoformat,
    "instant": datetime.isoformat,
    "number": _show_number,
    "whole": str,
    "flag": lambda value: "yes" if value else "no",
    "codes": ";".join,
    "sites": ";".join,
    "words": ";".join,
    "marks": lambda marks: ";".join(f"{site}={mark}" for site, mark in marks),
}
LISTS = frozenset({"codes", "sites", "marks", "words"})

"""A club's own rulebook: ranges and wording that it changed, each from a day on and with a reason, within the limits.

Cautions and hard stops have no entry in `limits.toml`, so nothing here can reach them.
"""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date
from functools import cache
from typing import Any

from coaching.rules.rulebook import FOLDER, DeadlineRule, FormRule, Rulebook, RulebookError

Value = str | int | tuple[int, int]
RANGES = frozenset({one.name for one in fields(FormRule) if str(one.type) == "tuple[int, int]"} | {"days"})


@dataclass(frozen=True)
class Change:
    """One key of one entry, from a day on; the reason and the name are printed beside it."""

    rule: str  # id of the entry, such as `dry.aluminium-salt` or `deadline.look`
    key: str
    value: Value
    from_day: date
    reason: str
    by: str = ""


@cache
def limits() -> Mapping[str, Mapping[str, Sequence[int]]]:
    """Bounds by key: `days` for numbers, `text` for the length of wording."""
    found: dict[str, dict[str, list[int]]] = tomllib.loads((FOLDER / "limits.toml").read_text("utf-8"))["limit"]
    return found


def keys_of(rule: FormRule | DeadlineRule) -> tuple[str, ...]:
    """Keys of an entry that a club may change."""
    if isinstance(rule, DeadlineRule):
        return ("days",)
    listed = ("list_checked_by", "list_checked_on") if rule.list_check else ()
    tries = ("hard_tries",) if rule.hard_tries != (0, 0) else ()
    days_on = ("days_on",) if rule.days_on != (0, 0) else ()
    agent = ("no_first_use_days", "trial_days", "settle_days", "stop_days") if rule.ingredient else ()
    return ("how", "uses_a_week", "run_days", "lead_days", "carry_over_days", *agent, *tries, *days_on, *listed)


def entry(book: Rulebook, rule: str) -> FormRule | DeadlineRule | None:
    """The entry with that id."""
    rules: tuple[FormRule | DeadlineRule, ...] = (*book.forms.values(), *book.deadlines.values())
    return next((one for one in rules if one.rule == rule), None)


def checked(book: Rulebook, change: Change) -> FormRule | DeadlineRule:
    """The entry as changed. Raises RulebookError where the entry, the key or the value is not for a club to set, or
    no reason is given.
    """
    found = entry(book, change.rule)
    if found is None:
        raise RulebookError(f"{change.rule}: unknown entry")
    if change.key not in keys_of(found):
        raise RulebookError(f"{change.rule}: {change.key}: not for a club to change")
    if not change.reason.strip():
        raise RulebookError(f"{change.rule}: {change.key}: a reason is missing")
    _check_value(f"{change.rule}: {change.key}", change.key, change.value)
    changed: dict[str, Any] = {change.key: change.value}
    return replace(found, **changed)


def apply(book: Rulebook, changes: Iterable[Change], as_of: date) -> Rulebook:
    """The rulebook in force on a day: later changes of the same key stand over earlier ones. Its version tells that,
    and which. Raises RulebookError as `checked` does.
    """
    live = sorted((one for one in changes if one.from_day <= as_of), key=lambda one: one.from_day)
    if not live:
        return book
    forms, deadlines = dict(book.forms), dict(book.deadlines)
    for one in live:
        found = checked(replace(book, forms=forms, deadlines=deadlines), one)
        if isinstance(found, FormRule):
            forms[found.form] = found
        else:
            deadlines[found.kind] = found
    mark = hashlib.sha256(repr([(one.rule, one.key, one.value, one.from_day) for one in live]).encode()).hexdigest()
    return replace(book, version=f"{book.version}+{mark[:8]}", forms=forms, deadlines=deadlines)


def _check_value(where: str, key: str, value: Value) -> None:
    bounds = limits()[key]
    if "text" in bounds:
        least, most = bounds["text"]
        if not isinstance(value, str) or not least <= len(value.strip()) <= most:
            raise RulebookError(f"{where}: must be text of {least} to {most} characters")
        if key == "list_checked_on":
            _check_day(where, value)
        return
    least, most = bounds["days"]
    if (key in RANGES) != isinstance(value, tuple):
        raise RulebookError(f"{where}: must be {'two whole numbers' if key in RANGES else 'one whole number'}")
    numbers = value if isinstance(value, tuple) else (value,)
    if any(isinstance(n, bool) or not isinstance(n, int) or not least <= n <= most for n in numbers):
        raise RulebookError(f"{where}: must be whole numbers from {least} to {most}")
    if isinstance(value, tuple) and (len(value) != 2 or (key != "days" and value[0] > value[1])):
        raise RulebookError(f"{where}: the first of two must not be above the second")


def _check_day(where: str, value: str) -> None:
    try:
        date.fromisoformat(value)
    except ValueError:
        raise RulebookError(f"{where}: must be a day, such as 2027-03-11") from None

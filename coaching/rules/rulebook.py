"""The rulebook: every form of care and every deadline as data, read from TOML, refused where an entry is not
whole.
"""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Mapping
from dataclasses import MISSING, dataclass, field, fields
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

VERSION = "rulebook-3"
FOLDER = Path(__file__).parent / "rulebook"
PRACTICE_HEADS = ("practice", "contradiction")
VERBS = ("dry", "soften", "even", "toughen", "cover", "mend", "rest", "cool", "try")
DEADLINES_FILE = "deadlines"
PRACTICE_FILE = "practice"

ALLOWED: Mapping[str, frozenset[str]] = {
    "parts": frozenset({"morning", "day", "evening", "night"}),
    "not_on": frozenset({"open", "closing", "rimmed", "thinned", "pink"}),
    "needs_stage": frozenset({"open", "closing", "rimmed", "thinned", "sound"}),
    "sensitivities": frozenset(
        {"formaldehyde", "methenamine", "aluminium", "rosin", "adhesive", "latex", "acrylate"}
    ),
    "contraindications": frozenset(
        {"pregnancy", "breast-feeding", "implant", "metal", "heart", "epilepsy", "numb-skin", "other"}
    ),
    "not_for_kinds": frozenset({"damp", "mixed", "dry"}),
    "climbing_day": frozenset({"any", "before", "after", "between"}),
    "strengths": frozenset({"weak", "medium", "strong"}),
    "goes_on_strengths": frozenset({"weak", "medium", "strong"}),
}
"""Words that a key may hold; a key that is not here may hold any text."""


class RulebookError(ValueError):
    """An entry of the rulebook is not whole: the message names the file, the entry and the key."""


@dataclass(frozen=True)
class FormRule:
    """One form of care. Ranges are (middle, late end) in days before the event unless named otherwise."""

    verb: str
    form: str
    parts: tuple[str, ...]
    how: str
    uses_a_week: tuple[int, int]  # least, most
    run_days: tuple[int, int]  # shortest, longest run
    lead_days: tuple[int, int]  # from the first use to the event: middle, late end
    carry_over_days: tuple[int, int]  # effect after the last use: shortest, longest
    caution: str
    source: str
    strengths: tuple[str, ...] = ()
    ingredient: str = ""  # of a drying agent; empty: not an agent
    strict_part: bool = False  # the part of the day is part of the caution
    no_first_use_days: int = 0  # no first use inside these days before an event
    trial_days: int = 0  # watched days before a first course
    settle_days: int = 0  # days between the end of a course and the event
    stop_days: int = 0  # the last use, in days before the event; 0: no such rule
    goes_on_strengths: tuple[str, ...] = ()  # strengths that tolerated, damp skin may use on to the event
    zones: tuple[str, ...] = ()  # where it may go; empty: anywhere
    not_on: tuple[str, ...] = ()
    needs_stage: tuple[str, ...] = ()  # stages in which damage must have been seen
    not_deep: bool = False
    sensitivities: tuple[str, ...] = ()
    contraindications: tuple[str, ...] = ()
    minimum_age: int = 0
    signoff_under_age: int = 0
    not_for_kinds: tuple[str, ...] = ()
    climbing_day: str = "any"
    needs_after: tuple[str, ...] = ()
    hard_tries: tuple[int, int] = (0, 0)
    days_on: tuple[int, int] = (0, 0)  # in a row before it is due: on rough rock or fresh plastic, on finer rock
    instead: tuple[str, ...] = ()
    list_check: str = ""  # who checks the current anti-doping list before this goes on; empty: nothing to check
    list_checked_by: str = ""  # who has, and
    list_checked_on: str = ""  # on which day (ISO 8601); lists change every year

    @property
    def rule(self) -> str:
        return f"{self.verb}.{self.form.replace(' ', '-')}"


@dataclass(frozen=True)
class DeadlineRule:
    kind: str
    days: tuple[int, int]  # before the event: middle, late end
    source: str

    @property
    def rule(self) -> str:
        return f"deadline.{self.kind}"


@dataclass(frozen=True)
class Practice:
    """A fact that practitioners state, and how this rulebook reconciles it."""

    name: str
    says: str
    here: str
    forms: tuple[str, ...]
    source: str


@dataclass(frozen=True)
class Contradiction:
    """What the sources disagree on: shown, never asserted."""

    name: str
    says: tuple[str, ...]
    here: str


@dataclass(frozen=True)
class Rulebook:
    version: str
    digest: str  # SHA-256 over the files, in the order of their names
    forms: Mapping[str, FormRule]
    deadlines: Mapping[str, DeadlineRule]
    practice: Mapping[str, Practice] = field(default_factory=dict)
    contradictions: Mapping[str, Contradiction] = field(default_factory=dict)

    def form(self, name: str) -> FormRule | None:
        return self.forms.get(name)

    def is_agent(self, name: str) -> bool:
        rule = self.forms.get(name)
        return rule is not None and rule.ingredient != ""

    def ingredient(self, name: str) -> str:
        rule = self.forms.get(name)
        return rule.ingredient if rule else ""


Said = TypeVar("Said", Practice, Contradiction)


@cache
def current() -> Rulebook:
    """The rulebook that ships with this version.

    Raises RulebookError where an entry is not whole.
    """
    return load(FOLDER)


def load(folder: Path) -> Rulebook:
    """Read every file of `folder`, check it, and give the rulebook with its digest.

    Raises RulebookError naming file, entry and key.
    """
    forms: dict[str, FormRule] = {}
    deadlines: dict[str, DeadlineRule] = {}
    for verb in VERBS:
        for name, row in _table(folder / f"{verb}.toml", "form").items():
            forms[name] = _form(f"{verb}.toml", verb, name, row)
    for kind, row in _table(folder / f"{DEADLINES_FILE}.toml", "deadline").items():
        deadlines[kind] = _deadline(f"{DEADLINES_FILE}.toml", kind, row)
    told = {head: _table(folder / f"{PRACTICE_FILE}.toml", head, PRACTICE_HEADS) for head in PRACTICE_HEADS}
    practice = {name: _said(Practice, name, row) for name, row in told["practice"].items()}
    contradictions = {name: _said(Contradiction, name, row) for name, row in told["contradiction"].items()}
    _check_references(forms, practice)
    return Rulebook(VERSION, _digest(folder), forms, deadlines, practice, contradictions)


def _digest(folder: Path) -> str:
    sha = hashlib.sha256()
    for path in sorted(folder.glob("*.toml")):
        sha.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    return sha.hexdigest()


def _table(path: Path, head: str, heads: tuple[str, ...] = ()) -> dict[str, dict[str, Any]]:
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError as missing:
        raise RulebookError(f"{path.name}: the file is missing") from missing
    except tomllib.TOMLDecodeError as broken:
        raise RulebookError(f"{path.name}: not TOML: {broken}") from broken
    for key in data:
        if key not in (head, *heads):
            raise RulebookError(f"{path.name}: {key}: unknown table, expected {head}")
    table: dict[str, dict[str, Any]] = data.get(head, {})
    return table


def _form(file: str, verb: str, name: str, row: dict[str, Any]) -> FormRule:
    values: dict[str, Any] = {"verb": verb, "form": name}
    known = {one.name: one for one in fields(FormRule) if one.name not in values}
    for key in row:
        if key not in known:
            raise RulebookError(f"{file}: {name}: {key}: unknown key")
    for key, one in known.items():
        if key in row:
            values[key] = _value(f"{file}: {name}: {key}", str(one.type), row[key])
        elif one.default is MISSING:
            raise RulebookError(f"{file}: {name}: {key}: missing")
        if key in ALLOWED and key in values:
            _check_words(f"{file}: {name}: {key}", values[key], ALLOWED[key])
    return FormRule(**values)


def _deadline(file: str, kind: str, row: dict[str, Any]) -> DeadlineRule:
    for key in ("days", "source"):
        if key not in row:
            raise RulebookError(f"{file}: {kind}: {key}: missing")
    for key in row:
        if key not in ("days", "source"):
            raise RulebookError(f"{file}: {kind}: {key}: unknown key")
    days = _value(f"{file}: {kind}: days", "tuple[int, int]", row["days"])
    return DeadlineRule(kind, days, _value(f"{file}: {kind}: source", "str", row["source"]))


def _value(where: str, kind: str, value: Any) -> Any:
    if kind == "str":
        if not isinstance(value, str) or not value.strip():
            raise RulebookError(f"{where}: must be text and not empty")
        return value
    if kind == "bool":
        if not isinstance(value, bool):
            raise RulebookError(f"{where}: must be true or false")
        return value
    if kind == "int":
        return _whole(where, value)
    if not isinstance(value, list):
        raise RulebookError(f"{where}: must be a list")
    if kind == "tuple[int, int]":
        if len(value) != 2:
            raise RulebookError(f"{where}: must hold two whole numbers")
        return tuple(_whole(where, item) for item in value)
    return tuple(_value(where, "str", item) for item in value)


def _whole(where: str, value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or value < 0:
        raise RulebookError(f"{where}: must be a whole number, 0 or more")
    return value


def _check_words(where: str, value: str | tuple[str, ...], allowed: frozenset[str]) -> None:
    for word in (value,) if isinstance(value, str) else value:
        if word not in allowed:
            raise RulebookError(f"{where}: {word!r} is none of {', '.join(sorted(allowed))}")


def _said(kind: type[Said], name: str, row: dict[str, Any]) -> Said:
    where = f"{PRACTICE_FILE}.toml: {name}"
    known = {one.name: str(one.type) for one in fields(kind) if one.name != "name"}
    for key in known.keys() - row.keys():
        raise RulebookError(f"{where}: {key}: missing")
    for key in row.keys() - known.keys():
        raise RulebookError(f"{where}: {key}: unknown key")
    return kind(name, **{key: _value(f"{where}: {key}", of, row[key]) for key, of in known.items()})


def _check_references(forms: Mapping[str, FormRule], practice: Mapping[str, Practice]) -> None:
    for one in practice.values():
        for name in one.forms:
            if name not in forms:
                raise RulebookError(f"{PRACTICE_FILE}.toml: {one.name}: forms: unknown form {name!r}")
    for rule in forms.values():
        for key, names in (("instead", rule.instead), ("needs_after", rule.needs_after)):
            for name in names:
                if name not in forms:
                    raise RulebookError(f"{rule.verb}.toml: {rule.form}: {key}: unknown form {name!r}")

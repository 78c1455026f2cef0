"""What is kept of people, why, on which basis and for how long: every column there is stands in `register.toml`."""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from django.apps import apps

FILE = Path(__file__).with_name("register.toml")


@dataclass(frozen=True)
class Entry:
    """One column: the class of what is in it, and what the table's entry or its own says of it."""

    table: str
    column: str
    data_class: str
    purpose: str
    basis: str
    retention: str


@cache
def loaded() -> dict[str, Any]:
    """The file as it stands."""
    return tomllib.loads(FILE.read_text(encoding="utf-8"))


def tables() -> dict[str, dict[str, Any]]:
    return dict(loaded()["tables"])


def entries() -> Iterator[Entry]:
    """Every column that the register names."""
    for table, told in tables().items():
        for data_class, columns in told["columns"].items():
            for column in columns.split():
                own = {**told, **told.get("but", {}).get(column, {})}
                yield Entry(table, column, data_class, own["purpose"], own["basis"], own["retention"])


def columns_there_are() -> set[tuple[str, str]]:
    """Every column of every table that a model of the installation has."""
    models = apps.get_models(include_auto_created=True)
    return {(m._meta.db_table, f.column) for m in models if m._meta.managed for f in m._meta.concrete_fields}


@cache
def _secrets() -> frozenset[tuple[str, str]]:
    return frozenset((one.table, one.column) for one in entries() if one.data_class == "secret")


def is_secret(table: str, column: str) -> bool:
    """The column opens a door, so it leaves in no export; a column that the register does not know counts as one."""
    return (table, column) in _secrets() or (table, column) not in _known()


@cache
def _known() -> frozenset[tuple[str, str]]:
    return frozenset((one.table, one.column) for one in entries())


def problems() -> list[str]:
    """What is missing from the register, or too much in it; empty where it is whole."""
    every = list(entries())
    there, named = columns_there_are(), [(one.table, one.column) for one in every]
    found = [f"{table}.{column}: not in the register" for table, column in sorted(there - set(named))]
    found += [f"{table}.{column}: no such column" for table, column in sorted(set(named) - there)]
    found += [f"{table}.{column}: named twice" for (table, column), n in sorted(Counter(named).items()) if n > 1]
    for one in every:
        said = {"class": one.data_class, "purpose": one.purpose, "basis": one.basis, "retention": one.retention}
        unknown = [word for name, word in said.items() if word not in loaded()[name]]
        found += [f"{one.table}.{one.column}: {word!r} is not explained" for word in unknown]
    return found

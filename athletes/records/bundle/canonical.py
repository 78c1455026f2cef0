"""The canonical form of a bundle's rows, and the digest over it.

Equal content has equal form whatever the order of files, rows, columns and list items, the way a number or an
instant was written, and the manifest.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping

from athletes.records.bundle.columns import TABLES, Row, Table
from athletes.records.bundle.values import show


def texts(table: Table, rows: Iterable[Row]) -> list[list[str]]:
    """The rows as text, sorted by it."""
    columns = table.columns
    return sorted([show(column, value) for column, value in zip(columns, row, strict=True)] for row in rows)


def digest(tables: Mapping[str, Iterable[Row]]) -> str:
    """SHA-256, in hexadecimal, over the canonical sorted rows; an empty table counts as an absent one."""
    found = hashlib.sha256()
    for file in sorted(TABLES):
        for row in texts(TABLES[file], tables.get(file, ())):
            found.update(json.dumps([file, *row], ensure_ascii=False, separators=(",", ":")).encode() + b"\n")
    return found.hexdigest()

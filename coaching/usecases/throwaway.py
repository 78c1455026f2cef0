"""A database for one question, gone with its answer; the installation's own is not touched."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from django.core.management import call_command
from django.db import connections

_migrated: list[bytes] = []
"""The empty file as migrations left it, so that a process runs them once: they are most of a short answer's time."""


@contextmanager
def throwaway_database() -> Iterator[None]:
    """Point the default alias at an empty, migrated SQLite file for the length of the block. Not for threads."""
    kept, kept_settings = connections["default"], connections.settings["default"]
    with tempfile.TemporaryDirectory(prefix="tenpads-", ignore_cleanup_errors=True) as folder:
        path = Path(folder) / "throwaway.sqlite3"
        connections.settings["default"] = _settings(kept_settings, path)
        try:
            connections["default"] = connections.create_connection("default")
            _migrate(path)
            yield
        finally:
            if connections["default"] is not kept:
                connections["default"].close()
            connections.settings["default"] = kept_settings
            connections["default"] = kept


def _migrate(path: Path) -> None:
    if not _migrated:
        call_command("migrate", verbosity=0, interactive=False)
        connections["default"].close()
        _migrated.append(path.read_bytes())
    else:
        path.write_bytes(_migrated[0])


def _settings(like: dict[str, object], path: Path) -> dict[str, object]:
    options = {
        "transaction_mode": "IMMEDIATE",
        "init_command": "PRAGMA synchronous=OFF; PRAGMA foreign_keys=ON;",
    }
    return {**like, "ENGINE": "django.db.backends.sqlite3", "NAME": str(path), "OPTIONS": options}

"""A database for one question, gone with its answer; the installation's own is not touched."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from django.core.management import call_command
from django.db import connections


@contextmanager
def throwaway_database() -> Iterator[None]:
    """Point the default alias at an empty, migrated SQLite file for the length of the block. Not for threads."""
    kept, kept_settings = connections["default"], connections.settings["default"]
    with tempfile.TemporaryDirectory(prefix="tenpads-", ignore_cleanup_errors=True) as folder:
        connections.settings["default"] = _settings(kept_settings, Path(folder) / "throwaway.sqlite3")
        try:
            connections["default"] = connections.create_connection("default")
            call_command("migrate", verbosity=0, interactive=False)
            yield
        finally:
            if connections["default"] is not kept:
                connections["default"].close()
            connections.settings["default"] = kept_settings
            connections["default"] = kept


def _settings(like: dict[str, object], path: Path) -> dict[str, object]:
    options = {
        "transaction_mode": "IMMEDIATE",
        "init_command": "PRAGMA synchronous=OFF; PRAGMA foreign_keys=ON;",
    }
    return {**like, "ENGINE": "django.db.backends.sqlite3", "NAME": str(path), "OPTIONS": options}

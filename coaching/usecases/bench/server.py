"""A database of the bench's own on a server that somebody named."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from uuid import uuid4

import psycopg
from django.core.management import call_command
from django.db import connections
from environs import Env

STAYS = {"ENGINE": "coaching.config.postgresql", "CONN_MAX_AGE": 60, "CONN_HEALTH_CHECKS": True}
"""As the settings have it for a server of one's own."""


@contextmanager
def own_database(server: str) -> Iterator[str]:
    """The default alias on a new, migrated database of that server, dropped afterwards; yields its address."""
    name = f"tenpads_bench_{uuid4().hex}"
    kept, kept_settings = connections["default"], connections.settings["default"]
    parsed = dict(Env().dj_db_url("TENPADS_BENCH_UNSET", server))
    with psycopg.connect(server, autocommit=True) as admin:
        admin.execute(f"CREATE DATABASE {name}")
        connections.settings["default"] = {**kept_settings, "OPTIONS": {}, **parsed, "NAME": name, **STAYS}
        try:
            connections["default"] = connections.create_connection("default")
            call_command("migrate", verbosity=0, interactive=False)
            yield psycopg.conninfo.make_conninfo(server, dbname=name)
        finally:
            connections["default"].close()
            connections.settings["default"], connections["default"] = kept_settings, kept
            admin.execute(f"DROP DATABASE {name} WITH (FORCE)")

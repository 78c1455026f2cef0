"""Databases of their own for tests that need several connections at once: a SQLite file, or PostgreSQL.

Threads open connections of their own to whatever the default alias points at; the database of the suite lives
in memory and belongs to one thread.
"""

from __future__ import annotations

import atexit
import tempfile
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any
from uuid import uuid4

import psycopg
import pytest
from django.core.management import call_command
from django.db import connection, connections

from coaching.config.settings import database

SERVER = {"host": "127.0.0.1", "port": 5432, "user": "postgres", "dbname": "postgres", "connect_timeout": 2}


@contextmanager
def pointed_at(url: str) -> Iterator[None]:
    """The default alias on another database, with the product's own settings for it."""
    kept, kept_settings = connections["default"], connections.settings["default"]
    connections.settings["default"] = {**kept_settings, "OPTIONS": {}, **database(url)}
    connections["default"] = connections.create_connection("default")
    try:
        yield
    finally:
        connections["default"].close()
        connections.settings["default"] = kept_settings
        connections["default"] = kept


@cache
def _migrated() -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "migrated.sqlite3"
        with pointed_at(f"sqlite:///{path}"):
            call_command("migrate", verbosity=0, interactive=False)
        return path.read_bytes()


@contextmanager
def filed(folder: Path) -> Iterator[None]:
    """The default alias on a migrated SQLite file in the folder."""
    path = folder / "filed.sqlite3"
    path.write_bytes(_migrated())
    with pointed_at(f"sqlite:///{path}"):
        yield


@cache
def _template() -> str:
    """A migrated database that others are copied from, dropped when the process ends."""
    name = f"tenpads_{uuid4().hex}"
    with psycopg.connect(**SERVER, autocommit=True) as server:
        server.execute(f"CREATE DATABASE {name}")
    atexit.register(_drop, name)
    with pointed_at(f"postgres://postgres@127.0.0.1:5432/{name}"):
        call_command("migrate", verbosity=0, interactive=False)
    return name


def _drop(name: str) -> None:
    with psycopg.connect(**SERVER, autocommit=True) as server:
        server.execute(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")


@contextmanager
def served() -> Iterator[None]:
    """The default alias on a migrated PostgreSQL database, dropped afterwards; skips without a server."""
    name = f"tenpads_{uuid4().hex}"
    try:
        server = psycopg.connect(**SERVER, autocommit=True)
    except psycopg.OperationalError as error:
        pytest.skip(f"no PostgreSQL on 127.0.0.1:5432 that lets us in: {error}")
    with server:
        server.execute(f"CREATE DATABASE {name} TEMPLATE {_template()}")
        try:
            with pointed_at(f"postgres://postgres@127.0.0.1:5432/{name}"):
                yield
        finally:
            server.execute(f"DROP DATABASE {name} WITH (FORCE)")


def at_once(work: Callable[[], Any], times: int) -> list[Any]:
    """Run the work in so many threads that start together; answers in no order, an error is raised here."""
    ready, found, errors = threading.Barrier(times), [], []

    def run() -> None:
        try:
            ready.wait(10)
            found.append(work())
        except BaseException as error:  # handed on to the test
            errors.append(error)
        finally:
            connection.close()

    threads = [threading.Thread(target=run) for _ in range(times)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    if errors:
        raise errors[0]
    return found


OWNED = """
DO $$ DECLARE one record; BEGIN
  FOR one IN SELECT c.relname AS name, c.relkind AS kind FROM pg_class c
    WHERE c.relnamespace = 'public'::regnamespace AND c.relkind IN ('r', 'S')
      AND NOT EXISTS (SELECT 1 FROM pg_depend d WHERE d.objid = c.oid AND c.relkind = 'S' AND d.deptype IN ('a', 'i'))
  LOOP
    EXECUTE format('ALTER %s %I OWNER TO {role}', CASE one.kind WHEN 'S' THEN 'SEQUENCE' ELSE 'TABLE' END, one.name);
  END LOOP;
END $$"""


@contextmanager
def as_role() -> Iterator[str]:
    """The default alias as a role of its own that owns a migrated database; yields the role's name."""
    role, name = f"tenpads_{uuid4().hex[:12]}", f"tenpads_{uuid4().hex}"
    try:
        server = psycopg.connect(**SERVER, autocommit=True)
    except psycopg.OperationalError as error:
        pytest.skip(f"no PostgreSQL on 127.0.0.1:5432 that lets us in: {error}")
    with server:
        server.execute(f"CREATE ROLE {role} LOGIN NOSUPERUSER NOBYPASSRLS")
        server.execute(f"CREATE DATABASE {name} TEMPLATE {_template()} OWNER {role}")
        try:
            with psycopg.connect(**{**SERVER, "dbname": name}, autocommit=True) as inside:
                inside.execute(f"ALTER SCHEMA public OWNER TO {role}")
                inside.execute(OWNED.replace("{role}", role))
            with pointed_at(f"postgres://{role}@127.0.0.1:5432/{name}"):
                yield role
        finally:
            server.execute(f"DROP DATABASE {name} WITH (FORCE)")
            server.execute(f"DROP ROLE {role}")

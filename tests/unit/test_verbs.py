"""Every verb of ours on data that is not there yet, and with options that cannot be meant."""

from __future__ import annotations

import os
import socket
from collections.abc import Iterator
from contextlib import contextmanager
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.db import OperationalError, connection

from coaching.config import environment
from coaching.jobs import schema, serving
from coaching.usecases import set_up
from tests import bundles, databases
from tests.bundles import ATHLETE

COMMANDS_MODULE = "coaching.jobs.management.commands"
COMMANDS = Path(schema.__file__).parent / "management" / "commands"
ON_FRESH_DATA = {
    "add_login": ["nobody", "--user", "n"],
    "assess": ["{bundle}", "--as-of", "2027-03-11"],
    "close_login": ["nobody"],
    "invite": ["manager", "--name", "N", "--squad", "nowhere"],
    "new_password": ["nobody"],
    "vouch": ["nobody"],
    "erase": ["nobody", "--yes"],
    "backtest": ["{bundle}", "--origins", "2027-03-11", "--horizons", "7", "--out", "{folder}/forecasts.csv"],
    "export_bundle": ["{folder}/exported"],
    "fetch_forecasts": [],
    "forget_keys": [],
    "import_bundle": ["{bundle}"],
    "import_typical": ["nowhere", "{bundle}/manifest.json"],
    "keep_terms": ["--dry-run"],
    "make_token": ["nobody", "--scope", "read"],
    "new_club": ["--club", "c", "--squad", "s", "--coach", "n", "--user", "u"],
    "push_keys": [],
    "rebuild": [],
    "register": ["record"],
    "replay_erasures": ["--ledger", "{folder}/no-ledger.jsonl"],
    "retry": ["--all"],
    "revoke_token": ["000000000000"],
    "waiting": [],
    "who_could_read": ["--from", "2027-03-01", "--to", "2027-03-11"],
}
JOURNEYS = {"bench", "demo", "serve"}
"""Those take their minute, or do not end: `demo` is run on an empty folder, and `bench`, by journeys of their own."""
REFUSED = {
    "add_login": "Nobody in", "fetch_forecasts": "Off: set", "import_typical": "no place nowhere",
    "make_token": "Nobody with", "revoke_token": "no token", "close_login": "Nobody signs", "invite": "no such",
    "erase": "no such athlete", "new_password": "Nobody signs", "vouch": "Nobody signs",
}  # fmt: skip


@contextmanager
def fresh(folder: Path, blocker: Any) -> Iterator[None]:
    """The default alias on a SQLite file that does not exist."""
    with blocker.unblock(), databases.pointed_at(f"sqlite:///{folder / 'fresh.sqlite3'}"):
        yield


def test_no_verb_is_forgotten_here() -> None:
    assert {path.stem for path in COMMANDS.glob("[a-z]*.py")} == set(ON_FRESH_DATA) | JOURNEYS


@pytest.mark.parametrize("verb", ON_FRESH_DATA)
def test_a_verb_on_fresh_data_answers_or_says_why_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, django_db_blocker: Any, verb: str
) -> None:
    for asking in ("add_login", "new_club"):
        monkeypatch.setattr(f"{COMMANDS_MODULE}.{asking}.getpass", lambda prompt: "a quiet orange lamp post")
    bundle = bundles.folder(tmp_path / "bundle", {"athletes": [ATHLETE]})
    words = [word.format(bundle=bundle, folder=tmp_path) for word in ON_FRESH_DATA[verb]]
    with fresh(tmp_path, django_db_blocker):
        if verb in REFUSED:
            with pytest.raises(CommandError, match=REFUSED[verb]):
                call_command(verb, *words)
        else:
            call_command(verb, *words, stdout=StringIO(), stderr=StringIO())


@pytest.mark.parametrize("verb", sorted(set(ON_FRESH_DATA) - {"assess", "backtest", "register", "push_keys"}))
def test_a_servers_tables_are_not_changed_by_a_verb(
    monkeypatch: pytest.MonkeyPatch, verb: str
) -> None:
    """Each verb asks first; no rows are read, as the database is closed to this test."""
    monkeypatch.setattr(connection, "vendor", "postgresql")
    monkeypatch.setattr(set_up, "migrated", lambda: False)
    monkeypatch.setattr(set_up, "migrate", lambda: pytest.fail("migrated"))
    with pytest.raises(CommandError, match="not migrated: run migrate"):
        call_command(verb, *ON_FRESH_DATA[verb])


def test_a_database_that_cannot_be_opened_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    def closed() -> None:
        raise OperationalError("unable to open database file")

    monkeypatch.setattr(set_up, "migrate", closed)
    with pytest.raises(CommandError, match="cannot be opened: unable"):
        schema.ready()


@pytest.mark.parametrize("verb", ["demo", "serve"])
@pytest.mark.parametrize("port", ["0", "-1", "65536", "99999"])
def test_a_port_that_is_none_is_refused(verb: str, port: str) -> None:
    with pytest.raises(CommandError, match=f"from 1 to 65535: {port}"):
        call_command(verb, f"--port={port}")


@pytest.mark.parametrize("verb", ["demo", "serve"])
def test_a_taken_port_is_told_before_anything_is_loaded(monkeypatch: pytest.MonkeyPatch, verb: str) -> None:
    monkeypatch.setattr(set_up, "migrate", lambda: pytest.fail("went on"))
    with socket.socket() as taken:
        taken.bind((serving.HOST, 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(CommandError, match=f"Port {port} is in use"):
            call_command(verb, f"--port={port}")


@pytest.fixture
def kept_umask() -> Iterator[None]:
    before = os.umask(0o022)
    yield
    os.umask(before)


def found(monkeypatch: pytest.MonkeyPatch, **names: str) -> environment.Environment:
    monkeypatch.delenv("TENPADS_DATABASE_URL", raising=False)
    for name, value in names.items():
        monkeypatch.setenv(f"TENPADS_{name}", value)
    return environment.read()


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such bits")
@pytest.mark.usefixtures("kept_umask")
def test_files_of_an_earlier_start_become_private(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("tenpads.sqlite3", "tenpads.sqlite3-wal", "other"):
        (tmp_path / name).touch(0o644)
    environment.keep_private(found(monkeypatch, DATA=str(tmp_path)))
    modes = {path.name: path.stat().st_mode & 0o777 for path in tmp_path.iterdir()}
    assert modes == {"tenpads.sqlite3": 0o600, "tenpads.sqlite3-wal": 0o600, "other": 0o644}


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such bits")
@pytest.mark.usefixtures("kept_umask")
def test_beside_a_database_server_static_files_stay_readable(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    url = "postgres://nobody@nowhere/nothing"
    environment.keep_private(found(monkeypatch, DATA=str(tmp_path / "x"), DATABASE_URL=url))
    (tmp_path / "static").mkdir()
    assert (tmp_path / "static").stat().st_mode & 0o777 == 0o755 and not (tmp_path / "x").exists()

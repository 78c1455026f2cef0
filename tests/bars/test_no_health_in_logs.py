"""Nothing of an athlete's health stands in a log, a letter, a title or an address, whatever breaks.

OWASP ASVS 5.0, 16.2.5 and 14.2.1 (from memory): no sensitive data in logs or in addresses.
"""

from __future__ import annotations

import io
import json
import logging
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from uuid import uuid4

import psycopg
import pytest
import time_machine
from django.conf import settings
from django.core import mail
from django.db import DatabaseError, DataError, IntegrityError, connection
from django.test import Client
from django.utils.module_loading import import_string

from athletes.records import checks, writes
from athletes.records.models import Care, CheckIn, Damage
from coaching.config import environment
from coaching.usecases import record_checkin
from tests import databases, stored
from tests.api_calls import GOOD
from tests.bars import world as worlds
from tests.bars.test_matrix import ROUTES, filled

SECRET = "Qzxhealthcanary"
TITLE = re.compile(r"<title>(.*?)</title>", re.S)
LINKS = re.compile(r'(?:href|action|src)="([^"]*)"')


@pytest.fixture(autouse=True)
def clock() -> Iterator[None]:
    with time_machine.travel(stored.NOW, tick=False):
        yield


@pytest.fixture
def club() -> worlds.Club:
    """Free text with the canary in each place where an athlete or a coach tells of health."""
    found = worlds.club("h")
    CheckIn.objects.update(note=SECRET)
    Care.objects.update(product_note=SECRET)
    Damage.objects.update(cause=SECRET)
    return found


def told(caplog: pytest.LogCaptureFixture) -> str:
    """Everything that was logged, one level below what is logged unless somebody asks for more, traces with it."""
    shown = logging.Formatter("%(name)s %(message)s")
    return "\n".join(shown.format(record) for record in caplog.records)


def clients(club: worlds.Club) -> dict[str, Client]:
    found = {}
    for role, over in (("athlete", [club.athlete]), ("head-coach", ())):
        found[role] = Client(raise_request_exception=False)
        found[role].force_login(stored.login(role, club.squad, over))
    return found


@pytest.mark.django_db
def test_every_page_is_read_and_nothing_of_it_is_logged_or_titled(
    club: worlds.Club, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.INFO)
    seen = 0
    for client in clients(club).values():
        for route in ROUTES:
            answer = client.get(filled(route, club.ids))
            text = answer.content.decode("utf-8", "replace")
            seen += SECRET in text
            around = [*TITLE.findall(text), *LINKS.findall(text), *answer.headers.values()]
            assert not [one for one in around if SECRET in one], route
    sql = [record for record in caplog.records if record.name.startswith("django.db")]
    assert seen >= 4, "the canary was not even to be seen"
    assert SECRET not in told(caplog) and not sql and mail.outbox == []


def sent(client: Client, **more: object) -> int:
    body = json.dumps({**GOOD, "note": SECRET, **more})
    headers = {"idempotency-key": uuid4().hex}
    path = "/api/v1/athletes/h-a1/check-ins"
    return int(client.post(path, body, content_type="application/json", headers=headers).status_code)


@pytest.mark.django_db
def test_neither_is_what_is_refused_or_breaks(
    club: worlds.Club, caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    caplog.set_level(logging.INFO)
    athlete = clients(club)["athlete"]
    assert sent(athlete) in (200, 201) and sent(athlete, reserve=SECRET) == 422
    athlete.post("/me/check-in", {"note": SECRET, "reserve": SECRET})

    def breaks(*args: object, **kwargs: object) -> None:
        raise DatabaseError("planted")

    for module in (writes, record_checkin):
        for name in ("store_checkin", "insert_new"):
            monkeypatch.setattr(module, name, breaks, raising=False)
    monkeypatch.setattr(writes, "store_checkin", breaks)
    assert sent(athlete, local_date="2027-03-10") == 500
    assert "planted" in told(caplog) and SECRET not in told(caplog)


@pytest.mark.django_db
def test_planted_a_line_that_tells_is_found(club: worlds.Club, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.INFO)
    logging.getLogger("coaching").info("stored %s", CheckIn.objects.values().first())
    assert SECRET in told(caplog)


# --- what the database says when it refuses a row


@contextmanager
def written() -> Iterator[io.StringIO]:
    """What the installation's own handler writes, formatter and filters of the settings with it."""
    out = io.StringIO()
    told = settings.LOGGING
    handler = logging.StreamHandler(out)
    shape = told["formatters"][told["handlers"]["console"]["formatter"]]
    handler.setFormatter(import_string(shape["class"])(shape["format"], style=shape["style"]))
    for name in told["handlers"]["console"]["filters"]:
        handler.addFilter(import_string(told["filters"][name]["()"])())
    logger = logging.getLogger("coaching")
    logger.addHandler(handler)
    try:
        yield out
    finally:
        logger.removeHandler(handler)


ROW = (
    'new row for relation "records_checkin" violates check constraint "checkin_reserve_range"\n'
    f"DETAIL:  Failing row contains (1, 2027-03-11, 99, first line\nof a {SECRET}, 1)."
)
"""As PostgreSQL 15 says it."""


def logged(error: Exception) -> None:
    log = logging.getLogger("coaching.usecases")
    try:
        try:
            raise error
        except type(error) as first:
            raise RuntimeError(f"could not be stored: {first}") from first
    except RuntimeError:
        log.exception("athlete %d could not be computed", 7)
    log.warning("what was derived is not kept: %r", error)
    log.warning("Task %(name)s raised unexpected: %(exc)s", {"name": "recompute", "exc": repr(error)})


@pytest.mark.parametrize(
    "said",
    [ROW, f'invalid syntax for type integer: "{SECRET}"\nLINE 1: .. {SECRET}', f'value "{SECRET}" is out of range'],
    ids=["a whole row", "a text for a number", "a value"],
)
def test_of_what_a_database_refuses_the_rule_is_written_and_not_the_row(said: str) -> None:
    with written() as out:
        logged(DataError(said))
    text = out.getvalue()
    assert SECRET not in text and "first line" not in text
    assert "athlete 7 could not be computed" in text and text.count("DataError") >= 3
    assert "in logged" in text and said.split('"')[0].strip() in text, "where and why is still told"


def test_planted_a_handler_of_its_own_tells_the_row() -> None:
    out = io.StringIO()
    handler = logging.StreamHandler(out)
    logging.getLogger("coaching").addHandler(handler)
    try:
        logged(DataError(ROW))
    finally:
        logging.getLogger("coaching").removeHandler(handler)
    assert out.getvalue().count(SECRET) >= 4


@pytest.mark.service
def test_what_the_server_says_is_cut_as_that_text_was(django_db_blocker: Any) -> None:
    with django_db_blocker.unblock(), databases.served(), written() as out:
        row = stored.athletes(["a1"], stored.squad())[0]
        try:
            CheckIn.objects.create(athlete=row, local_date=stored.TODAY, reserve=99, note=f"a\n{SECRET}")
        except IntegrityError as error:
            assert SECRET in str(error)
            logging.getLogger("coaching").exception("not stored")
    assert SECRET not in out.getvalue() and "checkin_reserve_range" in out.getvalue()


WORKER = """
import django, logging, sys
django.setup()
from coaching.config.celery import app
app.log.setup(loglevel="WARNING", redirect_stdouts=True)
told = {"name": "t", "exc": repr(ValueError(sys.argv[1]))}
logging.getLogger("celery.app.trace").error("Task %(name)s raised: %(exc)s", told)
try:
    raise ValueError(sys.argv[1])
except ValueError:
    logging.getLogger("celery.worker").exception("failed at /join/" + "x" * 43)
"""


def test_a_worker_writes_as_everybody_else_and_not_past_it(tmp_path: Path) -> None:
    around = {**os.environ, "TENPADS_DATA": str(tmp_path), "DJANGO_SETTINGS_MODULE": "coaching.config.settings"}
    asked = [sys.executable, "-c", WORKER, ROW]
    ran = subprocess.run(asked, cwd=environment.ROOT, env=around, capture_output=True, text=True, check=True)
    said = ran.stdout + ran.stderr
    assert SECRET not in said and "x" * 43 not in said
    assert "Task t raised: ValueError" in said and "failed at /join/..." in said


ROLE = "coaching/config/database_role.sh"


@pytest.mark.service
def test_the_servers_own_log_is_told_to_keep_no_values_and_a_check_says_where_it_does(django_db_blocker: Any) -> None:
    """By the very lines with which `docker-compose.yml` makes the role."""
    lines = re.findall(r"^ALTER ROLE tenpads (SET .*;)$", (environment.ROOT / ROLE).read_text(), re.M)
    with django_db_blocker.unblock(), databases.as_role() as role:
        (warned,) = checks.logged_without_values(["default"])
        assert warned.id == "records.W002" and "log_min_error_statement=error" in warned.msg
        with psycopg.connect(**databases.SERVER, autocommit=True) as server:
            for line in lines:
                server.execute(f"ALTER ROLE {role} {line}")
        connection.close()
        assert checks.logged_without_values(["default"]) == checks.logged_without_values() == []


@pytest.mark.django_db
def test_a_file_keeps_no_log_of_its_own_and_nobody_is_written_to_about_errors() -> None:
    if connection.vendor == "sqlite":
        assert checks.logged_without_values(["default"]) == []
    assert settings.ADMINS == [] and settings.MANAGERS == [], "else the framework would mail traces with all variables"

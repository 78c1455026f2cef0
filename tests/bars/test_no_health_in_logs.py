"""Nothing of an athlete's health stands in a log, a letter, a title or an address, whatever breaks.

OWASP ASVS 5.0, 16.2.5 and 14.2.1 (from memory): no sensitive data in logs or in addresses.
"""

from __future__ import annotations

import json
import logging
import re
from collections.abc import Iterator
from uuid import uuid4

import pytest
import time_machine
from django.core import mail
from django.db import DatabaseError
from django.test import Client

from athletes.records import writes
from athletes.records.models import Care, CheckIn, Damage
from coaching.usecases import record_checkin
from tests import stored
from tests.api_calls import GOOD
from tests.bars import world as worlds
from tests.bars.test_matrix import ROUTES, filled

pytestmark = pytest.mark.django_db
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


def test_planted_a_line_that_tells_is_found(club: worlds.Club, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.INFO)
    logging.getLogger("coaching").info("stored %s", CheckIn.objects.values().first())
    assert SECRET in told(caplog)

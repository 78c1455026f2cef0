"""A long computation keeps what it has in hand, and lets go of it with its process."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from django.db import transaction

from coaching.ledger import staleness
from coaching.ledger.models import Staleness
from coaching.usecases import clock
from coaching.usecases.holding import RENEW_S, held
from tests import databases


@pytest.fixture(params=["SQLite", pytest.param("PostgreSQL", marks=pytest.mark.service)])
def shared(request: pytest.FixtureRequest, tmp_path: Path, django_db_blocker: Any) -> Iterator[str]:
    with django_db_blocker.unblock():
        with databases.filed(tmp_path) if request.param == "SQLite" else databases.served():
            yield request.param


def claimed() -> str:
    with transaction.atomic():
        staleness.raise_for([1], clock.now())
    return staleness.claim(clock.now(), 9)[0].claimed_by


def until() -> datetime:
    at = Staleness.objects.get().claimed_until
    assert at
    return at


def alive() -> int:
    return sum(thread.name == "tenpads-claim" for thread in threading.enumerate())


def test_a_claim_is_renewed_while_the_work_lasts_and_no_longer(shared: str) -> None:
    token = claimed()
    first, end = until(), time.monotonic() + 20
    with held(token, every_s=0.02):
        while until() == first and time.monotonic() < end:
            time.sleep(0.02)
        assert until() > first
    assert alive() == 0


def test_a_failure_to_renew_does_not_end_the_work(shared: str, monkeypatch: pytest.MonkeyPatch) -> None:
    tried = threading.Event()

    def failing(*args: Any) -> None:
        tried.set()
        raise ConnectionError

    monkeypatch.setattr(staleness, "renew", failing)
    with held(claimed(), every_s=0.02):
        assert tried.wait(20) and tried.clear() is None and tried.wait(20)


def test_three_signs_of_life_fit_into_a_claim() -> None:
    assert timedelta(seconds=3 * RENEW_S) <= timedelta(seconds=staleness.CLAIM_S)

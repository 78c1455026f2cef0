"""No check-in waits for the queue: what is handed over is published beside the request, or left to the sweep."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
import time
from collections.abc import Sequence

import pytest
from django.conf import settings
from kombu.exceptions import OperationalError

from coaching.config.celery import app
from coaching.jobs import queue
from coaching.jobs.publishing import KEPT, MOST, Publisher


class Queue:
    """Stands for the broker: keeps what was published, hangs or fails on demand."""

    def __init__(self) -> None:
        self.published: list[list[int]] = []
        self.open, self.failing = threading.Event(), False
        self.open.set()
        self.tried = 0

    def __call__(self, athlete_ids: Sequence[int]) -> None:
        self.tried += 1
        self.open.wait(20)
        if self.failing:
            raise ConnectionError("refused")
        self.published.append(list(athlete_ids))

    def seen(self, *ids: int) -> bool:
        end = time.monotonic() + 20
        while time.monotonic() < end and not set(ids) <= {i for some in self.published for i in some}:
            time.sleep(0.01)
        return set(ids) <= {i for some in self.published for i in some}


def test_an_athlete_is_published_soon() -> None:
    found = Queue()
    Publisher(found).send([7])
    assert found.seen(7) and found.published == [[7]]


def test_a_queue_that_hangs_holds_nobody_up_and_what_came_in_goes_together() -> None:
    found = Queue()
    found.open.clear()
    publisher = Publisher(found)
    began = time.monotonic()
    for n in range(10):
        publisher.send([n])
    assert time.monotonic() - began < 1
    found.open.set()
    assert found.seen(*range(10)) and len(found.published) < 10


def test_after_an_outage_what_waited_is_published() -> None:
    found = Queue()
    found.failing = True
    publisher = Publisher(found, rest_s=0.01)
    publisher.send([1])
    while found.tried < 3:
        time.sleep(0.01)
    found.failing = False
    publisher.send([2])
    assert found.seen(1, 2)


def test_an_import_is_left_to_the_sweep_and_an_outage_fills_no_memory() -> None:
    found = Queue()
    found.open.clear()
    publisher = Publisher(found)
    publisher.send(range(MOST + 1))
    assert not publisher._waiting
    for n in range(KEPT + 500):
        publisher.send([n])
    assert len(publisher._waiting) <= KEPT + MOST
    found.open.set()


def test_without_a_queue_nothing_pays_for_celery() -> None:
    """The embedded default: set up, ready to serve, and the library was never read."""
    kept = {k: v for k, v in os.environ.items() if k not in ("TENPADS_REDIS_URL", "TENPADS_DATABASE_URL")}
    seen = "import sys, django; django.setup(); import coaching.config.urls; print('celery' in sys.modules)"
    command = [sys.executable, "-c", seen]
    environment = kept | {"DJANGO_SETTINGS_MODULE": "coaching.config.settings"}
    said = subprocess.run(command, cwd=settings.ROOT, env=environment, capture_output=True, text=True, check=True)
    assert said.stdout.strip() == "False"


def test_a_broker_that_refuses_is_given_up_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """One try; the library's own patience would be tries without end, two seconds and more apart."""
    for setting in ("broker_url", "broker_write_url"):
        monkeypatch.setattr(app.conf, setting, "redis://127.0.0.1:1/0")
    began = time.monotonic()
    with pytest.raises(OperationalError, match="refused"):
        queue.Way().publish([1])
    assert time.monotonic() - began < queue.PATIENCE_S

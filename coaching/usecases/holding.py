"""Keep a claimed batch in hand while it is computed: a sign of life now and then, from a thread beside the work.

The thread dies with its process, so that what a killed process had in hand is soon free, however large the batch.
"""

from __future__ import annotations

import logging
import threading
from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connection

from coaching.ledger import staleness
from coaching.usecases import clock

log = logging.getLogger(__name__)
RENEW_S = 10.0
"""Three signs of life may be late before the claim runs out."""


@contextmanager
def held(token: str, every_s: float = RENEW_S) -> Iterator[None]:
    """Renew the claim every so many seconds until the block is left."""
    ended = threading.Event()
    thread = threading.Thread(target=_renewing, args=(token, ended, every_s), name="tenpads-claim", daemon=True)
    thread.start()
    try:
        yield
    finally:
        ended.set()
        thread.join(every_s)


def _renewing(token: str, ended: threading.Event, every_s: float) -> None:
    try:
        while not ended.wait(every_s):
            _renew(token)
    finally:
        connection.close()


def _renew(token: str) -> None:
    try:
        staleness.renew(token, clock.now())
    except Exception as error:  # the work goes on; at worst somebody else does it too
        log.warning("a claim could not be renewed: %r", error)
        connection.close()

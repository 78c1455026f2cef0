"""Do what a request asks once, however often it is sent: the key and the answer are stored with the fact."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from django.db import transaction

from athletes.records import repeats
from athletes.records.repeats import Answer, InFlight, Sent
from coaching.usecases import clock

__all__ = ["Answer", "InFlight", "OtherRequest", "Sent", "answering", "forget_old", "once"]

_within: ContextVar[bool] = ContextVar("within", default=False)


class OtherRequest(Exception):
    """The key stands for a request that asked something else."""


def answering() -> bool:
    """A transaction is open here in which nothing is stored where anything is raised."""
    return _within.get()


@contextmanager
def _answering() -> Iterator[None]:
    kept = _within.set(True)
    try:
        yield
    finally:
        _within.reset(kept)


def once(sent: Sent, admit: Callable[[], object], work: Callable[[], Answer]) -> Answer:
    """The answer of `work`, or the one that it gave when the same request came first.

    What `work` raises stores nothing, the key included. `admit` asks the door before an old answer is given again,
    because what was shared then may be shared no more. Raises OtherRequest, InFlight, and whatever the two raise.
    """
    with transaction.atomic(), _answering():
        found = repeats.begin(sent, clock.now())
        if found.status is None:
            answer = work()
            repeats.finish(found.id, answer.status, answer.body, answer.athlete_id)
            return answer
    if found.digest != sent.digest:
        raise OtherRequest
    admit()
    return Answer(found.status, found.body, again=True)


def forget_old() -> int:
    """Drop keys that are past their time; returns how many."""
    return repeats.forget(clock.now())

"""Do what a request asks once, however often it is sent: the key and the answer are stored with the fact."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from django.db import transaction

from athletes.records import repeats
from athletes.records.repeats import InFlight, Sent
from coaching.usecases import clock

__all__ = ["Answer", "InFlight", "OtherRequest", "Sent", "forget_old", "once"]


class OtherRequest(Exception):
    """The key stands for a request that asked something else."""


@dataclass(frozen=True)
class Answer:
    """A status, the text of a body, and of whom it tells; `again` where it was given before."""

    status: int
    body: str
    athlete_id: int | None = None
    again: bool = False


def once(sent: Sent, admit: Callable[[], object], work: Callable[[], Answer]) -> Answer:
    """The answer of `work`, or the one that it gave when the same request came first.

    What `work` raises stores nothing, the key included. `admit` asks the door before an old answer is given again,
    because what was shared then may be shared no more. Raises OtherRequest, InFlight, and whatever the two raise.
    """
    with transaction.atomic():
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

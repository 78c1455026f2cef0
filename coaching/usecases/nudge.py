"""Tell whoever computes that there is work. A nudge may be lost; the sweeper finds the work all the same."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from django.db import transaction

_listeners: list[Callable[[], None]] = []
_senders: list[Callable[[Sequence[int]], None]] = []


def listen(wake: Callable[[], None]) -> None:
    """Call `wake` at every nudge in this process."""
    _listeners.append(wake)


def unlisten(wake: Callable[[], None]) -> None:
    """Call it no more."""
    if wake in _listeners:
        _listeners.remove(wake)


def send_through(send: Callable[[Sequence[int]], None]) -> None:
    """Also hand the athletes' keys to a queue, once the assembly has one."""
    _senders.append(send)


def after_commit(athlete_ids: Sequence[int]) -> None:
    """Nudge once the surrounding transaction is in the database, and not at all where it is rolled back."""
    transaction.on_commit(lambda: _now(tuple(athlete_ids)), robust=True)


def _now(athlete_ids: tuple[int, ...]) -> None:
    for wake in list(_listeners):
        wake()
    for send in _senders:
        send(athlete_ids)

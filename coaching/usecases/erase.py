"""Erase everything of one athlete: asked for, to be taken back for a while, then done, and done again after a restore.

A ledger beside the database says who was erased by the number of a row and a digest, from which nobody is known; a
restored backup is brought up to it (`replay`). What else may hold an athlete is told to forget (`when_erased`).
"""

from __future__ import annotations

import json
import logging
import os
from collections.abc import Callable, Iterator
from dataclasses import asdict
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.db import DatabaseError

from athletes.records import consents, erasures
from athletes.records.erasures import Line, Wish
from athletes.records.errors import NotFound
from athletes.records.viewer import Viewer
from coaching.usecases import clock

log = logging.getLogger(__name__)
_forgetting: list[Callable[[], None]] = []


def when_erased(forget: Callable[[], None]) -> None:
    """Call this whenever somebody was erased: for what a process keeps in memory."""
    _forgetting.append(forget)


def ask(viewer: Viewer, code: str | None) -> Wish:
    """Ask for it, as the athlete or the guardian of a minor. Raises NotFound."""
    return erasures.ask(consents.subject(viewer, code).id, viewer.person_id, clock.now())


def take_back(viewer: Viewer, code: str | None) -> None:
    """As if nothing had been asked. Raises NotFound."""
    erasures.take_back(consents.subject(viewer, code).id)


def erase_due(now: datetime) -> int:
    """Erase everybody whose time to take it back is over; returns how many. Whoever cannot be erased now keeps nobody
    else waiting, and is tried again in an hour.
    """
    done = 0
    for athlete_id in erasures.due(now):
        try:
            _erase(athlete_id, now)
            done += 1
        except (DatabaseError, OSError):
            log.exception("athlete %d could not be erased", athlete_id)
    return done


def erase_now(code: str) -> int:
    """At once, as the operator; returns how many rows went. Raises NotFound."""
    athlete_id = erasures.key_of(code)
    if athlete_id is None:
        raise NotFound
    return _erase(athlete_id, clock.now())


def erase_these(athlete_ids: list[int]) -> None:
    """At once, one after the other: for people who were never real."""
    for athlete_id in athlete_ids:
        erasures.erase(erasures.line_of(athlete_id, os.urandom(16).hex(), clock.now()), _write)
    _forget()


def replay(ledger: Path | None = None) -> int:
    """Erase again whoever a restored database still holds; returns how many."""
    found = 0
    for line in _lines(ledger or settings.TENPADS_ERASURES):
        if erasures.still_there(line):
            erasures.erase(line, lambda _: None)
            found += 1
    _forget()
    return found


def _erase(athlete_id: int, now: datetime) -> int:
    rows = erasures.erase(erasures.line_of(athlete_id, os.urandom(16).hex(), now), _write)
    _forget()
    return rows


def _forget() -> None:
    erasures.from_the_disk()
    for forget in _forgetting:
        forget()


def _write(line: Line) -> None:
    """On the disk before the rows are gone for good."""
    path: Path = settings.TENPADS_ERASURES
    path.parent.mkdir(parents=True, exist_ok=True)
    with open(os.open(path, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600), "a", encoding="utf-8") as file:
        file.write(json.dumps(asdict(line), default=str, sort_keys=True) + "\n")
        file.flush()
        os.fsync(file.fileno())


def _lines(path: Path) -> Iterator[Line]:
    """The ledger; the end of a line that a lost machine cut short is passed over."""
    for text in path.read_text(encoding="utf-8").splitlines() if path.exists() else ():
        try:
            found = json.loads(text)
            yield Line(found["subject"], found["salt"], found["digest"], datetime.fromisoformat(found["erased_at"]))
        except (ValueError, KeyError):
            continue

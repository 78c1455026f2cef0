"""A day's first answers under an Idempotency-Key in one statement, where the server can: key, mark, fact and answer
stand together or not at all, as in the transaction that this stands for, at one round trip instead of six.
"""

from __future__ import annotations

from django.db import IntegrityError, OperationalError, connection

from athletes.records import repeats, writes
from athletes.records.errors import BadInput
from athletes.records.inserting import Statement
from athletes.records.repeats import Answer, Sent
from athletes.records.viewer import Viewer
from coaching.ledger import staleness
from coaching.usecases import clock, nudge
from coaching.usecases.answers import CheckInAnswers
from coaching.usecases.record_checkin import checked


def record_at_once(
    viewer: Viewer, athlete_code: str, answers: CheckInAnswers, sent: Sent, answer: Answer
) -> Answer | None:
    """The answer, whose athlete is filled in, once everything is stored. None where it is not that simple, and then
    nothing is stored: a key that stands, a correction, damage or looks beside the answers, something to refuse, another
    database. Raises NotFound where the viewer may not check in for that athlete.
    """
    if connection.vendor != "postgresql" or connection.in_atomic_block or answers.new_damage or answers.looks:
        return None
    at = clock.now()
    try:
        athlete_id = checked(viewer, athlete_code, answers, at)
        told = Answer(answer.status, answer.body, athlete_id)
        before = [
            ("taken", repeats.taking(sent, told, at)),
            ("marked", Statement(*staleness.raising_after("taken", athlete_id, at))),
        ]
        values = writes.checkin_values(answers)
        stored = writes.store_first_checkin(athlete_id=athlete_id, answers=values, made_at=at, before=before)
    except (BadInput, IntegrityError):
        return None
    except OperationalError as error:
        if repeats.waited_too_long(error):
            return None
        raise
    if not stored:
        return None
    nudge.after_commit([athlete_id])
    return told

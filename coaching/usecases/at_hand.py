"""Conclude from what earlier evenings left, and keep what this one adds. A lost row costs time and nothing else."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from datetime import date
from functools import partial

from django.db import IntegrityError

from coaching.ledger import derived, staleness
from coaching.ledger.store import AthleteRow
from coaching.science import versions
from coaching.usecases import conclude
from coaching.usecases.following import Kept

log = logging.getLogger(__name__)


def conclude_due(
    group: Sequence[staleness.Due], as_of: date, model_id: str = versions.CURRENT
) -> dict[int, AthleteRow]:
    """Rows for the ledger of athletes in hand.

    A packed history counts only at the very revision in hand. Marks are made in the transaction that changes facts, so
    where rows were read while facts changed, the revision in the database is a later one already.
    """
    revisions = {due.athlete_id: due.input_rev for due in group}
    kept_of = partial(_mornings, model_id)
    at_hand = conclude.AtHand(derived.packed_of(revisions), kept_of(list(revisions)), kept_of)
    rows, fresh = conclude.conclude_from(list(revisions), as_of, at_hand, model_id)
    stood = [
        derived.Stood(key, date.fromordinal(kept.ordinal), kept.digest, kept.state)
        for key, kept in fresh.mornings.items()
    ]
    try:
        derived.keep(fresh.packed, revisions, stood, model_id)
    except IntegrityError as error:  # an athlete went in the meantime
        log.warning("what was derived is not kept: %r", error)
    return rows


def _mornings(model_id: str, athlete_ids: Sequence[int]) -> dict[int, list[Kept]]:
    """What the filters held, which a digest of all they had read guards: it needs no revision."""
    found: dict[int, list[Kept]] = {}
    for one in derived.mornings_of(athlete_ids, model_id) if athlete_ids else ():
        found.setdefault(one.athlete_id, []).append(Kept(one.morning.toordinal(), one.digest, one.state))
    return found

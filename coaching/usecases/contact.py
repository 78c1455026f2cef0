"""What a device has to know whenever it reaches the server: for whom it keeps copies, and whether it still may."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass

from athletes.records import access, access_listing, deliveries, erasures, queries
from athletes.records.access import PURPOSE_OF_ROLE, AthleteRef
from athletes.records.viewer import Viewer
from coaching.usecases import clock

MOST_OPEN = 12
"""Judgement: nobody looks at more; a phone need not keep more pages than that of it."""

@dataclass(frozen=True)
class Contact:
    """`athlete_code` is the signed-in athlete's own, else None; `seen` the highest number of their entries that
    arrived. `sharing` is a digest of who shares what with a coaching role, None without one. Copies are not kept while
    an erasure is asked for. `open` are codes of the athlete's own damage that is not sound.
    """

    athlete_code: str | None
    seen: int
    sharing: str | None
    keep: bool
    open: tuple[str, ...] = ()


def contact(viewer: Viewer) -> Contact:
    """What holds in this very request; nothing is noted as read, because nothing of anybody else's is."""
    own = access.own_athlete(viewer) if viewer.own_athlete_id is not None else None
    asked = own is not None and erasures.wish(own.id) is not None
    return Contact(
        own.code if own else None, deliveries.highest(own.id) if own else 0, sharing(viewer), keep=not asked,
        open=_open(viewer, own) if own and not asked else (),
    )  # fmt: skip


def _open(viewer: Viewer, own: AthleteRef) -> tuple[str, ...]:
    today = clock.local_day(clock.now(), own.timezone)
    found = queries.open_episodes(viewer, own.id, today)
    return tuple(one.episode_id for one in found if one.stage_today != "sound")[-MOST_OPEN:]


def sharing(viewer: Viewer) -> str | None:
    """A digest over everybody in the viewer's squads and the classes that they share."""
    if not viewer.roles() & set(PURPOSE_OF_ROLE):
        return None
    ids = sorted(set(access_listing.memberships(viewer).values_list("athlete_id", flat=True)))
    shared = access.shared_classes(viewer, ids)
    told = [[key, sorted(shared[key])] for key in ids]
    return hashlib.sha256(json.dumps(told).encode()).hexdigest()[:32]

"""What the door let through during one request: whom, and with which classes of data open.

A request is watched where it begins; outside of one nothing is noted, as on the command line of the machine itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TYPE_CHECKING

from athletes.records import row_scope
from athletes.records.viewer import Viewer

if TYPE_CHECKING:
    from athletes.records.access import AthleteRef

Seen = dict[int, frozenset[str]]
"""Classes that were open, by key of the athlete."""
_seen: ContextVar[Seen | None] = ContextVar("seen", default=None)


@contextmanager
def watching() -> Iterator[Seen]:
    """Collect what is let through until the block ends."""
    found: Seen = {}
    kept = _seen.set(found)
    try:
        yield found
    finally:
        _seen.reset(kept)


def noted(viewer: Viewer, refs: list[AthleteRef]) -> list[AthleteRef]:
    """The same, noted, nobody's look at themselves; and the rows of each are opened to the request (`row_scope`)."""
    row_scope.let_through(ref.id for ref in refs)
    found = _seen.get()
    if found is None or viewer.operator:
        return refs
    own = {grant.athlete_id for grant in viewer.grants if grant.role == "athlete"}
    for ref in refs:
        if ref.id not in own:
            before = found.get(ref.id)
            found[ref.id] = ref.shared if before is None else before | ref.shared
    return refs

"""A sample for the first hour: invented athletes in one press, gone in one press.

It is a squad of its own in a club of its own, each name marked, and it stands alone: it is made while its coach has
nobody, and while it is there nobody real is added beside it. It goes by the erasing that real athletes have.
"""

from __future__ import annotations

from uuid import uuid4

from django.db import transaction
from django.utils.translation import gettext

from athletes.records import queries_squad, row_scope, samples
from athletes.records.bundle.reading import read_bundle
from athletes.records.errors import BadInput, NotFound
from athletes.records.queries_squad import SquadRun
from athletes.records.viewer import Viewer
from coaching.ledger import dropping, staleness
from coaching.usecases import clock, erase, nudge, set_up

ATHLETES = ("a01", "a08", "a12", "a16", "a18", "a19")
"""Of the demo: somebody of each level, one silent, one for a doctor, one with pink tips."""
HEAD = frozenset({"head-coach"})


def standing(viewer: Viewer) -> SquadRun | None:
    """The sample that the viewer leads, if there is one."""
    return next((one for one in queries_squad.squads_run(viewer, HEAD) if one.sample), None)


def may_begin(viewer: Viewer) -> bool:
    """The viewer leads squads, none of them a sample, and nobody is in them."""
    squads = queries_squad.squads_run(viewer, HEAD)
    return bool(squads) and not any(one.sample for one in squads) and not queries_squad.anybody_in(squads)


def begin(viewer: Viewer) -> int:
    """Make one; how many athletes are in it. Raises NotFound for whoever leads nobody's squad or has somebody in it."""
    if viewer.person_id is None or not may_begin(viewer):
        raise NotFound
    now = clock.now()
    days = set_up.shift_days(set_up.anchor_of(set_up.DEMO_BUNDLE), now.date())
    code, bundle = f"x{uuid4().hex[:10]}-", read_bundle(set_up.DEMO_BUNDLE)
    words = gettext("sample"), gettext("Sample, invented people")
    with row_scope.everybody(), transaction.atomic():
        loaded = samples.make(bundle, ATHLETES, code, *words, viewer.person_id, days)
        staleness.raise_for(sorted(loaded.athlete_ids), now)
        nudge.after_commit(sorted(loaded.athlete_ids))
    return len(loaded.athlete_ids)


def end(viewer: Viewer) -> int:
    """Erase the athletes of the viewer's sample and take the rest away; how many athletes. Raises NotFound."""
    squad = standing(viewer)
    if squad is None:
        raise NotFound
    with row_scope.everybody():
        ids = samples.athletes_of(squad.id)
        erase.erase_these(ids)
        with transaction.atomic():
            dropping.of_squad(squad.id)
            samples.take_away(squad.id)
    return len(ids)


def alone(viewer: Viewer) -> None:
    """Raises BadInput while a sample stands: nobody real is added beside it."""
    if standing(viewer) is not None:
        raise BadInput(
            "sample", gettext("it is still there, and real athletes are never put beside it"), None,
            gettext("remove the sample first"),
        )  # fmt: skip

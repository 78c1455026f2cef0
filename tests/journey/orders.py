"""What phones really kept, delivered in other orders: `run` takes their entries, each one to three times, to an athlete
of whom nothing is told yet, and says to which states they came. Each round is rolled back.
"""

from __future__ import annotations

import json
import random
from datetime import datetime
from typing import Any

import time_machine
from django.db import transaction

from api.v1.delivered_kinds import KINDS, plain, read
from athletes.records import access
from athletes.records.models import Account, Athlete, Look, Tap
from coaching.usecases import clock, deliver

SCALES, SEEN = ("reserve", "dampness", "pull_pain"), ("stage", "pain", "bled", "opens_on_pull")


def run(code: str, entries: list[dict[str, Any]], rounds: int, at: str) -> list[dict[str, Any]]:
    """Each state that it came to, once; one is all there may be. `at` is the instant of arrival."""
    with time_machine.travel(datetime.fromisoformat(at), tick=False):
        athlete = Athlete.objects.get(code=code)
        viewer = access.viewer_for(Account.objects.get(username=code), clock.local_day(clock.now(), athlete.timezone))
        found: dict[str, dict[str, Any]] = {}
        for seed in range(rounds):
            rng = random.Random(seed)
            sent = [one for one in entries for _ in range(rng.choice((1, 1, 2, 3)))]
            rng.shuffle(sent)
            with transaction.atomic():
                for one in sent:
                    take(viewer, code, one)
                state = standing(athlete)
                transaction.set_rollback(True)
            found[json.dumps(state, sort_keys=True)] = state
    return list(found.values())


def take(viewer: Any, code: str, one: dict[str, Any]) -> None:
    """As the address for deliveries does it."""
    kind = KINDS[one["kind"]]
    told = read(kind, one["body"])
    told_in = kind.told_in or one["kind"]
    body = plain(kind.as_told(told))
    entry = deliver.Entry(told_in, kind.about(body), one["device"], one["seq"], body)

    def store(whole: Any, last_day: Any) -> bool:
        return kind.store(viewer, code, read(KINDS[told_in], whole) if kind.folds else told, last_day)

    deliver.deliver(viewer, code, entry, kind.folds, store)


def standing(athlete: Athlete) -> dict[str, Any]:
    """What stands of the athlete, as JSON holds it."""
    looks, taps = Look.objects.filter(damage__athlete=athlete), Tap.objects.filter(athlete=athlete, what="try")
    checks = {str(c.local_date): {n: getattr(c, n) for n in SCALES} for c in athlete.checkins.all()}
    for row in athlete.checkins.all():
        checks[str(row.local_date)]["flags"] = sorted(row.red_flags)
    return {
        "checks": checks,
        "looks": {f"{one.local_date} {one.damage.site}": {n: getattr(one, n) for n in SEEN} for one in looks},
        "taps": sorted([str(t.local_date), t.key, t.surface] for t in taps.filter(taken_back=False)),
        "noted": sorted(
            [str(d.noticed_on), d.site, d.kind, d.depth] for d in athlete.damage.exclude(code__startswith="d-w")
        ),
        "care": sorted([str(c.local_date), c.form, c.status] for c in athlete.care.exclude(status="planned")),
        "log": sorted([e.seq, e.device, e.kind] for e in athlete.deliveries.exclude(device="")),
    }

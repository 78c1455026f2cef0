"""From facts to conclusions: the same facts give the same bytes, and nothing that can be stored stops it."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import asdict
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from django.db import connection

from athletes.records import histories
from athletes.records.models import Athlete, CheckIn
from coaching.ledger import codec
from coaching.ledger.models import SquadBar
from coaching.usecases import conclude as module
from coaching.usecases.conclude import AHEAD_DAYS, FURTHEST_DAYS, PAST_DAYS, conclude
from coaching.usecases.shown import EntryShown, PictureShown
from tests import bundles
from tests.bundles import ATHLETE, CHECKIN, EVENT, LOOK, SESSION, SPLIT

pytestmark = pytest.mark.django_db
AS_OF = date(2027, 3, 11)
CODES = ("a1", "a2", "a3", "a4", "a5")


def days(row: dict[str, Any], code: str, count: int, **changes: Any) -> bundles.Rows:
    dates = [AS_OF - timedelta(days=n) for n in range(count)]
    return [row | {"athlete_id": code, "local_date": day.isoformat()} | changes for day in dates]


def event(code: str, first: date, last: date | None = None, kind: str = "competition") -> dict[str, Any]:
    spans = {"first_day": first.isoformat(), "last_day": (last or first).isoformat()}
    return EVENT | {"event_id": code, "kind": kind} | spans


def in_days(count: int) -> date:
    return AS_OF + timedelta(days=count)


def five(path: Path) -> dict[str, int]:
    """Five who differ in all that could reach from one athlete to another within a batch."""
    events = [
        event("near", in_days(9)),
        event("trip", in_days(60), in_days(66), "trip"),
        event("far", in_days(170)),
    ]
    entered = {"a1": ["near"], "a2": ["near", "trip"], "a3": ["far"], "a5": ["trip"]}
    tables = {
        "athletes": [ATHLETE | {"athlete_id": code} for code in CODES],
        "checkins": days(CHECKIN, "a1", 40)
        + days(CHECKIN, "a2", 9, reserve=2)
        + days(CHECKIN, "a3", 90, sting=3),
        "sessions": days(SESSION, "a1", 20) + days(SESSION, "a2", 50, rpe=8) + days(SESSION, "a4", 3),
        "damage": [SPLIT, SPLIT | {"episode_id": "d3", "athlete_id": "a3", "depth": "deep"}],
        "damage_looks": [LOOK],
        "events": events,
        "entries": [{"event_id": e, "athlete_id": code} for code, held in entered.items() for e in held],
        "squads": [{"squad_id": "s1", "name": "Squad", "athlete_id": code} for code in CODES[:4]],
    }
    bundles.load(path / "b", tables)
    return dict(Athlete.objects.values_list("code", "id"))


def as_bytes(row: Any) -> bytes:
    return json.dumps(asdict(row), default=str, allow_nan=False).encode()


def one(path: Path, **tables: bundles.Rows) -> Any:
    bundles.load(path / "b", tables)
    (row,) = conclude([Athlete.objects.get().id], AS_OF).values()
    assert as_bytes(row) and codec.frozen(row.picture, PictureShown)
    assert all(codec.frozen(entry.body, EntryShown) for entry in row.entries)
    return row


def test_the_batch_changes_no_byte(tmp_path: Path) -> None:
    """Alone, among five, in another order, in another company."""
    keys = five(tmp_path)
    together = {i: as_bytes(row) for i, row in conclude(list(keys.values()), AS_OF).items()}
    assert {i: as_bytes(conclude([i], AS_OF)[i]) for i in keys.values()} == together
    turned = list(reversed(keys.values()))
    assert {i: as_bytes(row) for i, row in conclude(turned, AS_OF).items()} == together
    two = [keys["a4"], keys["a1"]]
    assert {i: as_bytes(row) for i, row in conclude(two, AS_OF).items()} == {i: together[i] for i in two}


def test_again_is_the_same_with_the_bar_made_anew(tmp_path: Path) -> None:
    keys = five(tmp_path)
    first = [as_bytes(row) for row in conclude(list(keys.values()), AS_OF).values()]
    SquadBar.objects.all().delete()
    assert [as_bytes(row) for row in conclude(list(keys.values()), AS_OF).values()] == first


def digests(keys: dict[str, int]) -> dict[str, str]:
    rows = conclude(list(keys.values()), AS_OF)
    return {code: rows[i].inputs_digest for code, i in keys.items()}


def test_the_digest_changes_with_the_facts_of_that_athlete_alone(tmp_path: Path) -> None:
    keys = five(tmp_path)
    before = digests(keys)
    assert digests(keys) == before and len(set(before.values())) == 5
    CheckIn.objects.filter(athlete_id=keys["a2"], local_date=AS_OF).update(reserve=3)
    after = digests(keys)
    assert {code for code in CODES if after[code] != before[code]} == {"a2"}


def test_what_is_not_known_yet_changes_no_digest(tmp_path: Path) -> None:
    keys = five(tmp_path)
    before = digests(keys)
    CheckIn.objects.create(athlete_id=keys["a2"], local_date=in_days(1), reserve=3, marks=[], red_flags=[])
    assert digests(keys) == before


DIGEST = """
from coaching.rules.facts import AthleteFacts
import django; django.setup()
from coaching.usecases.conclude import digest
words = ("resin", "alcohol", "lanolin", "beeswax", "wool fat")
print(digest(AthleteFacts("a1", 20, "UTC", sensitivities=frozenset(words), contraindications=frozenset(words))))
"""


def test_the_digest_is_the_same_in_every_process() -> None:
    """Sets of words come in another order wherever words are hashed with another seed."""
    found = set()
    for seed in ("1", "2", "3"):
        around = os.environ | {"PYTHONHASHSEED": seed, "DJANGO_SETTINGS_MODULE": "coaching.config.settings"}
        run = subprocess.run(
            [sys.executable, "-c", DIGEST], env=around, capture_output=True, text=True, check=True
        )
        found.add(run.stdout.strip())
    assert len(found) == 1 and len(found.pop()) == 64


def entered(*events: dict[str, Any]) -> dict[str, bundles.Rows]:
    entries = [{"event_id": e["event_id"], "athlete_id": "a1"} for e in events]
    return {"events": list(events), "entries": entries}


@pytest.mark.parametrize(
    ("first", "last", "listed"),
    [
        (FURTHEST_DAYS, FURTHEST_DAYS, True),
        (FURTHEST_DAYS + 1, FURTHEST_DAYS + 1, False),
        (FURTHEST_DAYS - 5, FURTHEST_DAYS + 5, False),
        (1000, 1010, False),
        (AHEAD_DAYS + 1, AHEAD_DAYS + 1, True),
        (0, 0, True),
        (-PAST_DAYS - 30, 0, True),
        (-PAST_DAYS - 30, 3, True),
    ],
)
@pytest.mark.parametrize("kind", ["competition", "trip"])
def test_events_at_and_beyond_the_edges_are_listed_or_not_and_never_fail(
    tmp_path: Path, first: int, last: int, listed: bool, kind: str
) -> None:
    tables = entered(event("e1", in_days(first), in_days(last), kind))
    row = one(tmp_path, checkins=days(CHECKIN, "a1", 20), damage=[SPLIT], **tables)
    assert len(row.entries) == listed
    assert all(0 <= e.low <= e.p <= e.high <= 1 for e in row.entries)


def test_of_two_events_the_one_too_far_ahead_is_left_for_later(tmp_path: Path) -> None:
    row = one(tmp_path, **entered(event("e1", in_days(5)), event("e2", in_days(400))))
    assert [entry.first_day for entry in row.entries] == [in_days(5)]


AWAY = [{"athlete_id": "a1", "first_day": "2027-01-01", "last_day": "2027-04-30", "kind": "travel"}]
CARE = {"athlete_id": "a1", "status": "done", "verb": "even", "form": "sand"}
BARE = {
    "nothing at all": {},
    "no check-ins": {"sessions": days(SESSION, "a1", 30)},
    "no sessions": {"checkins": days(CHECKIN, "a1", 30)},
    "check-ins without an answer": {"checkins": days(CHECKIN, "a1", 30, reserve="", dampness="")},
    "only days away": {"away": AWAY},
    "only care": {"care": days(CARE, "a1", 9)},
    "only damage": {"damage": [SPLIT]},
    "only what is long past": {"checkins": [CHECKIN | {"local_date": "2019-03-10"}]},
    "only what is planned": {"sessions": [SESSION | {"planned": "yes", "local_date": "2027-03-15"}]},
}


@pytest.mark.parametrize("known", BARE)
@pytest.mark.parametrize("with_entry", [True, False])
def test_little_known_is_concluded_all_the_same(tmp_path: Path, known: str, with_entry: bool) -> None:
    row = one(tmp_path, **BARE[known], **(entered(event("e1", in_days(9))) if with_entry else {}))
    assert len(row.entries) == with_entry
    if known in ("nothing at all", "only days away", "only what is long past", "no check-ins"):
        assert row.may_climb == "not-known"
        assert all(entry.level == "not-known" and entry.body["p"] is None for entry in row.entries)


def test_who_is_not_in_the_records_is_left_out(tmp_path: Path) -> None:
    keys = five(tmp_path)
    assert set(conclude([keys["a1"], 10**9], AS_OF)) == {keys["a1"]} and conclude([], AS_OF) == {}


def test_the_number_of_queries_does_not_grow_with_the_batch(tmp_path: Path) -> None:
    from django.test.utils import CaptureQueriesContext

    keys = list(five(tmp_path).values())
    conclude(keys, AS_OF)
    counts = set()
    for batch in (keys[:2], keys):
        with CaptureQueriesContext(connection) as asked:
            conclude(batch, AS_OF)
        counts.add(len(asked))
    assert len(counts) == 1


def test_the_digest_covers_the_bar_of_the_squad(tmp_path: Path) -> None:
    """The bar decides levels, so a conclusion under another bar has other inputs."""
    keys = five(tmp_path)
    before = digests(keys)
    SquadBar.objects.update(bar_frac=0.75, athlete_days=99)
    after = digests(keys)
    assert {code for code in CODES if after[code] != before[code]} == set(CODES[:4])
    assert histories.facts([keys["a5"]], AS_OF) and module.PAST_DAYS == PAST_DAYS

"""Five days of a phone and a tablet without a signal, delivered 500 times in another order, each entry one to three
times: what stands is each time what a plain fold by (number, device), written here anew, says. Nothing is lost: every
entry is in the log; nothing is doubled: once. Seeded, so that a failure can be run again.
"""

from __future__ import annotations

import random
from datetime import timedelta
from typing import Any

import pytest
import time_machine
from django.db import transaction

from api.v1.delivered_kinds import KINDS, read
from athletes.records import access
from athletes.records.models import CheckIn, Damage, Delivery, Look, Session
from coaching.usecases import deliver, record_checkin
from coaching.usecases.answers import CheckInAnswers
from tests import stored

pytestmark = pytest.mark.django_db
DEVICES = ("aaaaaaaaaaaaaaaa", "bbbbbbbbbbbbbbbb")
DAYS = [(stored.TODAY - timedelta(days=n)).isoformat() for n in range(5)]
SAID = ("reserve", "dampness", "sting")
ROUNDS = 500
Entry = tuple[int, str, str, dict[str, Any]]


def made(rng: random.Random) -> list[Entry]:
    """(number, device, kind, body) of six entries: check-ins, looks, sessions, edited again and again."""
    found: list[Entry] = []
    seqs = {device: 0 for device in DEVICES}
    for _ in range(6):
        device = rng.choice(DEVICES)
        seqs[device] += rng.choice((1, 1, 2))
        day = rng.choice(DAYS[:2])
        body: dict[str, Any] = {"local_date": day}
        if rng.random() < 0.25:
            body |= {"ordinal": 1, "minutes": float(rng.randrange(90)), "hard_tries": rng.randrange(30)}
            body.pop(rng.choice(("minutes", "hard_tries")))
            found.append((seqs[device], device, "session", body))
            continue
        body |= {name: rng.randrange(11) for name in rng.sample(SAID, 2)}
        if rng.random() < 0.4:
            body["red_flags"] = rng.sample(["pus", "warmth", "fever"], rng.randrange(2))
        if rng.random() < 0.4:
            body["looks"] = [{"episode_id": "d1", "stage": rng.choice(("open", "closing")), "pain": rng.randrange(9)}]
        if rng.random() < 0.3:
            body["note"] = f"note {seqs[device]} {device[:1]}"
        found.append((seqs[device], device, "check-in", body))
    return found


def plainly(entries: list[Entry]) -> dict[str, Any]:
    """What must stand, by loops over the entries in their order and nothing else."""
    state: dict[str, Any] = {}
    for _seq, _device, kind, body in sorted(entries, key=lambda one: one[:2]):
        day = body["local_date"]
        for name, value in body.items():
            if name == "red_flags":
                state[f"{day} flags"] = sorted(set(state.get(f"{day} flags", [])) | set(value))
            elif name == "looks":
                state.setdefault(f"{day} look", {}).update(value[0])
            elif name not in ("local_date", "ordinal"):
                state[f"{day} {kind} {name}"] = value
    for key in [key for key in state if key.endswith(" look")]:
        state[key].pop("episode_id")
    return {key: value for key, value in state.items() if value not in ([], None)}


def standing(athlete_id: int) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for row in CheckIn.objects.filter(athlete_id=athlete_id):
        day = row.local_date.isoformat()
        found |= {f"{day} check-in {name}": getattr(row, name) for name in SAID}
        found |= {f"{day} check-in note": row.note or None, f"{day} flags": sorted(row.red_flags)}
    for row in Session.objects.filter(athlete_id=athlete_id, planned=False):
        found |= {f"{row.local_date} session {name}": getattr(row, name) for name in ("minutes", "hard_tries")}
    for row in Look.objects.filter(damage__athlete_id=athlete_id):
        found[f"{row.local_date} look"] = {"stage": row.stage, "pain": row.pain}
    return {key: value for key, value in found.items() if value not in ([], None)}


def take(viewer: Any, entry: Entry) -> None:
    seq, device, name, body = entry
    kind = KINDS[name]
    sent = deliver.Entry(name, kind.about(body), device, seq, body)
    deliver.deliver(
        viewer, "a1", sent, kind.folds, lambda whole, last: kind.store(viewer, "a1", read(kind, whole), last)
    )


@pytest.fixture
def viewer() -> Any:
    with time_machine.travel(stored.NOW, tick=False):
        squad = stored.squad()
        (row,) = stored.athletes(["a1"], squad)
        told = {"site": "R-web", "kind": "cut", "noticed_on": stored.TODAY - timedelta(days=20)}
        Damage.objects.create(athlete=row, code="d1", **told)
        yield access.viewer_for(stored.login("athlete", None, [row]), stored.TODAY)


def test_any_order_and_any_number_of_deliveries_come_to_the_fold(viewer: Any) -> None:
    athlete_id = viewer.own_athlete_id
    for seed in range(ROUNDS):
        rng = random.Random(seed)
        entries = made(rng)
        sent = [one for one in entries for _ in range(rng.choice((1, 1, 1, 2, 3)))]
        rng.shuffle(sent)
        with transaction.atomic():
            for one in sent:
                take(viewer, one)
            assert standing(athlete_id) == plainly(entries), f"seed {seed}"
            log = Delivery.objects.values_list("seq", "device", "kind", "body")
            assert sorted(log, key=lambda o: o[:2]) == sorted(entries, key=lambda o: o[:2]), f"seed {seed}"
            transaction.set_rollback(True)


def test_with_edits_on_the_page_between_nothing_is_lost(viewer: Any) -> None:
    """A page's answer follows all that had arrived by then; what arrives later and is older does not go over it."""
    athlete_id = viewer.own_athlete_id
    for seed in range(60):
        rng = random.Random(seed)
        entries = [one for one in made(rng) if one[2] == "check-in" and "note" not in one[3]]
        rng.shuffle(entries)
        edits: list[Entry] = []
        with transaction.atomic():
            seen: dict[str, int] = {}
            for n, one in enumerate(entries):
                take(viewer, one)
                seen[one[3]["local_date"]] = max(seen.get(one[3]["local_date"], 0), one[0])
                if n % 3 == 1:
                    # Another value than stands: one that says the same again leaves no trace, and takes no new place.
                    day = rng.choice(DAYS[:2])
                    before = standing(athlete_id).get(f"{day} check-in reserve", 0)
                    value = (before + rng.randrange(1, 11)) % 11
                    answers = CheckInAnswers(stored.TODAY - timedelta(days=DAYS.index(day)), reserve=value)
                    record_checkin.record_checkin(viewer, "a1", answers)
                    edits.append((seen.get(day, 0), f"z{n:03}", "check-in", {"local_date": day, "reserve": value}))
            assert standing(athlete_id) == plainly([*entries, *edits]), f"seed {seed}"
            transaction.set_rollback(True)


@pytest.mark.parametrize("fault", ["last arrival wins", "numbers alone", "a repeat counts"])
def test_planted_faults_are_found(viewer: Any, monkeypatch: pytest.MonkeyPatch, fault: str) -> None:
    """Each of these would have been an easy mistake."""
    from athletes.records import deliveries

    if fault == "last arrival wins":
        monkeypatch.setattr(deliver, "_fold", lambda known, how: deliver.folded((one.body for one in known), how))
    elif fault == "numbers alone":
        monkeypatch.setattr(deliveries.Entry, "order", property(lambda self: (self.seq, self.id)))
    else:
        monkeypatch.setattr(deliver, "_arrived_before", lambda *_: False)
    with pytest.raises(Exception, match=r"seed|UNIQUE|delivered_once"):
        test_any_order_and_any_number_of_deliveries_come_to_the_fold(viewer)

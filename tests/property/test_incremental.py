"""Evening after evening from what earlier ones left gives the conclusions of the full pass, whatever came late.

The full pass over the same rows is what it is held to. Equality is to the byte: the sums are the same ones in the same
order, which is more than the 1e-9 that is asked for.
"""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from dataclasses import asdict
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from django.db import transaction

from athletes.records.models import Air, Athlete, CheckIn, Damage, Look, Membership, Session, Squad
from coaching.ledger import derived, staleness
from coaching.ledger.models import Footing, PackedHistory, SquadBar, Staleness
from coaching.science import versions
from coaching.usecases import at_hand, conclude, window
from tests import bundles
from tests.bundles import ATHLETE, EVENT

pytestmark = pytest.mark.django_db
FIRST = date(2027, 2, 18)  # early among the 28 evenings that begin on one day
CODES = ("a1", "a2", "a3")


@pytest.fixture
def began(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Days from the first one read to the morning from which each group of a pass went on, pass by pass."""
    real, found = conclude.follow, []

    def spied(*told: Any, **named: Any) -> Any:
        groups = real(*told, **named)
        found.extend(g.state.footing.begin(g.made.course) for g in groups)
        return groups

    monkeypatch.setattr(conclude, "follow", spied)
    return found


def squad(tmp_path: Any, seed: int, days: int = 60) -> dict[str, int]:
    """Three of one squad who answered and climbed on most of the last days, at a place whose air is known."""
    rng = random.Random(seed)
    dates = [FIRST - timedelta(days=n) for n in range(days)]
    tables = {
        "athletes": [ATHLETE | {"athlete_id": code} for code in CODES],
        "squads": [{"squad_id": "s1", "name": "Squad", "athlete_id": code} for code in CODES],
        "places": [{"place_id": "p1", "name": "Hall", "kind": "hall"}],
        "events": [EVENT | {"event_id": "e1", "first_day": "2027-04-20", "last_day": "2027-04-21"}],
        "entries": [{"event_id": "e1", "athlete_id": code} for code in CODES],
        "checkins": [checkin(rng, code, day) for code in CODES for day in dates if rng.random() < 0.7],
        "sessions": [session(rng, code, day) for code in CODES for day in dates if rng.random() < 0.6],
        "care": [care(rng, code, day) for code in CODES for day in dates if rng.random() < 0.2],
    }
    bundles.load(tmp_path / "b", tables)
    return dict(Athlete.objects.values_list("code", "id"))


def checkin(rng: random.Random, code: str, day: date) -> dict[str, Any]:
    ratings = {name: rng.randint(2, 9) for name in ("reserve", "dampness", "hardness")}
    return {"athlete_id": code, "local_date": day.isoformat(), **ratings}


def session(rng: random.Random, code: str, day: date) -> dict[str, Any]:
    said = {"minutes": rng.randint(40, 150), "rpe": rng.randint(3, 9), "skin_limited": rng.choice(["yes", "no", ""])}
    return {"athlete_id": code, "local_date": day.isoformat(), "planned": "no", "surface": "", "place_id": "p1", **said}


def care(rng: random.Random, code: str, day: date) -> dict[str, Any]:
    form = rng.choice([("dry", "methenamine cream"), ("even", "sand"), ("soften", "wax balm")])
    return {"athlete_id": code, "local_date": day.isoformat(), "status": "done", "verb": form[0], "form": form[1]}


Change = Callable[[random.Random, int, date], None]


def today(rng: random.Random, key: int, day: date) -> None:
    CheckIn.objects.update_or_create(athlete_id=key, local_date=day, defaults={"reserve": rng.randint(1, 9)})


def climbed(rng: random.Random, key: int, day: date) -> None:
    Session.objects.create(athlete_id=key, local_date=day, planned=False, minutes=90, rpe=rng.randint(4, 9))


def late(rng: random.Random, key: int, day: date) -> None:
    """Days or months late: on both sides of every morning kept."""
    today(rng, key, day - timedelta(days=rng.choice([1, 2, 5, 12, 20, 33, 70, 150])))


def edited(rng: random.Random, key: int, day: date) -> None:
    row = rng.choice(list(Session.objects.filter(athlete_id=key, local_date__lte=day).order_by("local_date", "id")))
    row.minutes, row.skin_limited = rng.randint(10, 200), rng.choice([True, False, None])
    row.save()


def deleted(rng: random.Random, key: int, day: date) -> None:
    rows = list(CheckIn.objects.filter(athlete_id=key, local_date__lte=day).order_by("local_date"))
    if rows:
        rng.choice(rows).delete()


def hurt(rng: random.Random, key: int, day: date) -> None:
    """Damage noticed some days ago, and a look at it; the last one often finds it sound."""
    noticed = day - timedelta(days=rng.choice([0, 3, 25]))
    code = f"d{Damage.objects.count()}"
    kept = {"site": "R-middle-tip", "kind": "split", "noticed_on": noticed}
    damage = Damage.objects.create(athlete_id=key, code=code, worries=[], **kept)
    Look.objects.create(damage=damage, local_date=day, stage=rng.choice(["open", "closing", "sound"]))


def told(key: int, change: Change, rng: random.Random, day: date) -> None:
    with transaction.atomic():
        staleness.raise_for([key], datetime(2027, 3, 1, tzinfo=UTC))
        change(rng, key, day)


def aired(rng: random.Random, day: date) -> None:
    """Air comes by itself and marks nobody."""
    at = datetime(day.year, day.month, day.day, 12, tzinfo=UTC) - timedelta(days=rng.choice([0, 2, 30]))
    place = Session.objects.exclude(place=None).values_list("place_id", flat=True).first()
    Air.objects.get_or_create(place_id=place, starts_at=at, known_at=None, defaults={"temp_c": 21.5, "rh_pct": 44.0})


def due(keys: dict[str, int]) -> list[staleness.Due]:
    revisions = dict(Staleness.objects.values_list("athlete_id", "input_rev"))
    return [staleness.Due(key, revisions[key]) for key in keys.values()]


def as_bytes(rows: dict[int, Any]) -> dict[int, bytes]:
    return {key: json.dumps(asdict(row), default=str, allow_nan=False).encode() for key, row in sorted(rows.items())}


def fully(keys: dict[str, int], day: date, model: str = versions.CURRENT) -> tuple[dict[int, bytes], list[Any]]:
    """Conclusions from the rows alone, and the squad's bar made anew with them; nothing of it stays."""
    with transaction.atomic():
        SquadBar.objects.all().delete()
        rows = as_bytes(conclude.conclude(list(keys.values()), day, model))
        bars = list(SquadBar.objects.values_list("bar_frac", "athlete_days"))
        transaction.set_rollback(True)
    return rows, bars


@pytest.mark.parametrize("seed", range(4))
def test_evening_after_evening_is_the_full_pass(tmp_path: Any, began: list[int], seed: int) -> None:
    rng, keys = random.Random(seed), squad(tmp_path, seed)
    day, went_on = FIRST, 0
    for _ in range(12):
        day += timedelta(days=rng.choice([0, 1, 1, 1, 3, 9]))
        for change in rng.choices([today, today, climbed, late, edited, deleted, hurt], k=rng.randint(0, 3)):
            told(rng.choice(list(keys.values())), change, rng, day)
        if rng.random() < 0.3:
            aired(rng, day)
        SquadBar.objects.all().delete()
        began.clear()
        rows = as_bytes(at_hand.conclude_due(due(keys), day))
        went_on += sum(begin > 0 for begin in began)
        bars = list(SquadBar.objects.values_list("bar_frac", "athlete_days"))
        assert (rows, bars) == fully(keys, day)
    assert went_on >= 4  # else nothing was tested


def run(keys: dict[str, int], *days: date) -> None:
    for day in days:
        SquadBar.objects.all().delete()
        at_hand.conclude_due(due(keys), day)


def in_days(count: int) -> date:
    return FIRST + timedelta(days=count)


def test_a_night_without_news_reads_no_rows_and_goes_on_from_the_morning_kept(
    tmp_path: Any, began: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    keys = squad(tmp_path, 7)
    run(keys, FIRST)
    began.clear()
    monkeypatch.setattr("athletes.records.histories_raw.read", lambda ids, first: pytest.fail(f"read {ids}"))
    SquadBar.objects.all().update(as_of=in_days(1))  # of another day, so that nobody is read for it
    at_hand.conclude_due(due(keys), in_days(1))
    day = in_days(1)
    assert began == [window.morning(day) - (day.toordinal() - window.past_days(day))]


def test_members_taken_along_for_a_bar_go_on_from_their_mornings_too(tmp_path: Any, began: list[int]) -> None:
    """A batch that ends in the middle of a squad must not filter the rest of it from the first day."""
    keys, day = squad(tmp_path, 12), in_days(1)
    run(keys, FIRST)
    began.clear()
    SquadBar.objects.all().delete()
    rows = as_bytes(at_hand.conclude_due([d for d in due(keys) if d.athlete_id == keys["a1"]], day))
    assert began == [window.morning(day) - (day.toordinal() - window.past_days(day))]
    assert rows == {keys["a1"]: fully(keys, day)[0][keys["a1"]]}


@pytest.mark.parametrize("days_late", [1, 4, 15, 40])
def test_a_late_fact_goes_back_to_a_morning_before_it(tmp_path: Any, began: list[int], days_late: int) -> None:
    keys = squad(tmp_path, 8)
    run(keys, FIRST, in_days(7), in_days(14))
    day, key = in_days(15), keys["a2"]
    with transaction.atomic():
        staleness.raise_for([key], datetime(2027, 3, 1, tzinfo=UTC))
        CheckIn.objects.update_or_create(
            athlete_id=key, local_date=day - timedelta(days=days_late), defaults={"reserve": 1}
        )
    began.clear()
    SquadBar.objects.all().delete()
    rows = as_bytes(at_hand.conclude_due([d for d in due(keys) if d.athlete_id == key], day))
    first = day.toordinal() - window.past_days(day)
    assert first + min(began) <= day.toordinal() - days_late  # the squad, read for its bar, goes on from later
    assert rows == {key: fully(keys, day)[0][key]}


def spoil(rows: Any, column: str, how: Callable[[bytes], bytes]) -> None:
    for row in rows.objects.all():
        setattr(row, column, how(bytes(getattr(row, column))))
        row.save()


DAMAGE: dict[str, Callable[[], object]] = {
    "all thrown away": derived.throw_away,
    "mornings cut short": lambda: spoil(Footing, "state", lambda b: b[: len(b) // 2]),
    "mornings flipped": lambda: spoil(Footing, "state", lambda b: b[:200] + bytes([b[200] ^ 255]) + b[201:]),
    "mornings empty": lambda: spoil(Footing, "state", lambda b: b""),
    "digests of others": lambda: Footing.objects.update(digest="0" * 64),
    "histories cut short": lambda: spoil(PackedHistory, "packed", lambda b: b[: len(b) // 2]),
    "histories flipped": lambda: spoil(PackedHistory, "packed", lambda b: b[:90] + bytes([b[90] ^ 255]) + b[91:]),
    "histories of another time": lambda: PackedHistory.objects.update(input_rev=0),
}


@pytest.mark.parametrize("damage", DAMAGE)
def test_without_what_was_kept_or_with_it_damaged_nothing_changes(tmp_path: Any, damage: str) -> None:
    keys = squad(tmp_path, 9)
    run(keys, FIRST)
    assert Footing.objects.count() == PackedHistory.objects.count() == len(keys)
    DAMAGE[damage]()
    SquadBar.objects.all().delete()
    assert as_bytes(at_hand.conclude_due(due(keys), in_days(1))) == fully(keys, in_days(1))[0]


def test_another_model_never_goes_on_from_it(tmp_path: Any, began: list[int]) -> None:
    keys = squad(tmp_path, 10)
    run(keys, FIRST)
    other = next(name for name in versions.VERSIONS if name != versions.CURRENT)
    for relabelled in (False, True):
        if relabelled:  # as if the rows said of themselves that they were the other's
            Footing.objects.update(model=other)
        began.clear()
        SquadBar.objects.all().delete()
        with transaction.atomic():
            rows = as_bytes(at_hand.conclude_due(due(keys), in_days(1), other))
            transaction.set_rollback(True)
        assert began == [0]
        assert rows == fully(keys, in_days(1), other)[0]


def test_only_the_newest_mornings_stay_and_each_is_small(tmp_path: Any) -> None:
    keys = squad(tmp_path, 11, days=200)
    run(keys, *(in_days(n) for n in range(0, 60, 5)))
    for key in keys.values():
        mine = Footing.objects.filter(athlete_id=key)
        assert mine.count() == derived.MORNINGS
        assert max(len(bytes(row.state)) for row in mine) <= 4096  # the bar of the design: 4 kB an athlete


def test_what_is_derived_goes_with_the_athlete(tmp_path: Any) -> None:
    keys = squad(tmp_path, 12)
    run(keys, FIRST)
    Membership.objects.all().delete()
    Squad.objects.all().delete()
    Athlete.objects.get(id=keys["a1"]).delete()
    assert set(Footing.objects.values_list("athlete_id", flat=True)) == {keys["a2"], keys["a3"]}
    assert set(PackedHistory.objects.values_list("athlete_id", flat=True)) == {keys["a2"], keys["a3"]}

"""What is stale becomes current, whatever fails, changes or goes missing on the way."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import time_machine
from django.db import OperationalError, connection, transaction

from athletes.records.models import Athlete, CheckIn
from athletes.records.viewer import Grant, Viewer
from coaching.ledger import staleness
from coaching.ledger.models import Conclusion, EntryConclusion, Staleness
from coaching.ledger.staleness import ATTEMPTS
from coaching.usecases import at_hand, clock, nudge, recompute
from coaching.usecases.answers import CheckInAnswers
from coaching.usecases.record_checkin import record_checkin
from tests import bundles
from tests.bundles import ATHLETE, CHECKIN, EVENT, NOW

pytestmark = pytest.mark.django_db
TODAY = NOW.date()
LATEST = NOW + timedelta(hours=12)


def squad(path: Path, *codes: str, **columns: Any) -> dict[str, int]:
    """So many athletes, each with an answer and an entry; their keys by code."""
    tables = {
        "athletes": [ATHLETE | {"athlete_id": code} | columns for code in codes],
        "checkins": [CHECKIN | {"athlete_id": code} for code in codes],
        "events": [EVENT],
        "entries": [{"event_id": "e1", "athlete_id": code} for code in codes],
    }
    bundles.load(path / "b", tables)
    return dict(Athlete.objects.values_list("code", "id"))


def answer(reserve: int, at: datetime = NOW) -> None:
    """The athlete a1 answers this morning's questions."""
    grant = Grant("athlete", None, Athlete.objects.get(code="a1").id)
    record_checkin(Viewer(None, None, TODAY, (grant,)), "a1", CheckInAnswers(TODAY, reserve=reserve), at)


def drain_at(at: datetime, **options: Any) -> int:
    with time_machine.travel(at, tick=False):
        return recompute.drain(**options)


def poison(monkeypatch: pytest.MonkeyPatch, *athlete_ids: int) -> list[list[int]]:
    """Make those athletes fail; returns the batches as they are tried."""
    real, tried = at_hand.conclude_due, []

    def failing(group: Any, day: date) -> Any:
        ids = [due.athlete_id for due in group]
        tried.append(ids)
        if bad := set(ids) & set(athlete_ids):
            raise ZeroDivisionError(f"of {sorted(bad)}")
        return real(group, day)

    monkeypatch.setattr(at_hand, "conclude_due", failing)
    return tried


def test_a_drain_makes_everything_current(tmp_path: Path) -> None:
    keys = squad(tmp_path, "a1", "a2", "a3")
    assert drain_at(NOW) == 3 and drain_at(NOW) == 0
    assert set(Conclusion.objects.values_list("athlete_id", "as_of")) == {(k, TODAY) for k in keys.values()}
    assert EntryConclusion.objects.count() == 3 and staleness.stale_of(list(keys.values())) == frozenset()


def test_progress_is_told_after_each_batch(tmp_path: Path) -> None:
    squad(tmp_path, "a1", "a2", "a3", "a4", "a5")
    told: list[int] = []
    assert drain_at(NOW, progress=told.append, batch=2) == 5
    assert told == [2, 4, 5]


def test_only_the_named_athletes_are_computed(tmp_path: Path) -> None:
    keys = squad(tmp_path, "a1", "a2")
    with time_machine.travel(NOW, tick=False):
        assert recompute.drain_these([keys["a2"]]) == 1 and recompute.drain_these([keys["a2"]]) == 0
        assert recompute.waiting() == 1
    assert Conclusion.objects.get().athlete_id == keys["a2"]


def test_a_lost_nudge_loses_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The process dies between the commit of a check-in and its nudge; the next sweep finds the row."""
    keys = squad(tmp_path, "a1")
    drain_at(NOW)
    monkeypatch.setattr(nudge, "_now", lambda ids: pytest.fail("no nudge arrives here"))
    answer(2, LATEST)
    assert staleness.stale_of([keys["a1"]]) == {keys["a1"]} and drain_at(LATEST) == 1
    assert Conclusion.objects.get(as_of=LATEST.date()).known_until == TODAY


def test_a_check_in_that_cannot_be_marked_is_not_stored(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    squad(tmp_path, "a1")
    monkeypatch.setattr(nudge, "after_commit", lambda ids: 1 / 0)
    with pytest.raises(ZeroDivisionError), transaction.atomic():
        answer(2)
    assert not CheckIn.objects.filter(local_date=TODAY).exists() and Staleness.objects.get().input_rev == 1


def test_facts_changed_while_computing_are_computed_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was read before the change is stored as the older revision, and the row stays behind."""
    squad(tmp_path, "a1")
    real, seen = at_hand.conclude_due, []

    def changing(group: Any, day: date) -> Any:
        rows = real(group, day)
        if not seen:
            answer(1)
        seen.append((Staleness.objects.get().computed_rev, Staleness.objects.get().input_rev))
        return rows

    monkeypatch.setattr(at_hand, "conclude_due", changing)
    assert drain_at(NOW) == 2
    assert seen == [(0, 2), (1, 2)]
    row = Conclusion.objects.get()
    assert (row.input_rev, row.known_until) == (2, TODAY) and Staleness.objects.get().computed_rev == 2


def test_a_slow_older_result_does_not_overwrite_a_newer(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A second worker is done with the newer facts before the first one, slow, hands in the older."""
    squad(tmp_path, "a1")
    real = at_hand.conclude_due

    def overtaken(group: Any, day: date) -> Any:
        rows = real(group, day)
        monkeypatch.setattr(at_hand, "conclude_due", real)
        answer(1)
        assert recompute.drain() == 1
        return rows

    monkeypatch.setattr(at_hand, "conclude_due", overtaken)
    assert drain_at(NOW) == 0
    row = Conclusion.objects.get()
    assert (row.input_rev, row.known_until) == (2, TODAY) and Staleness.objects.get().computed_rev == 2


def test_one_poisoned_athlete_is_found_by_halving_and_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    keys = squad(tmp_path, *(f"a{n}" for n in range(8)))
    bad = keys["a5"]
    tried = poison(monkeypatch, bad)
    assert drain_at(NOW) == 7
    assert set(Conclusion.objects.values_list("athlete_id", flat=True)) == set(keys.values()) - {bad}
    assert Staleness.objects.get(athlete_id=bad).failure == f"ZeroDivisionError('of [{bad}]')"
    assert not Staleness.objects.exclude(athlete_id=bad).exclude(failure="").exists()
    assert len(tried) == 1 + 2 * 3  # both halves of 8, of 4 and of 2


def test_a_poisoned_athlete_is_tried_so_often_and_no_more(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    keys = squad(tmp_path, "a1", "a2")
    tried = poison(monkeypatch, keys["a1"])
    for hours in range(ATTEMPTS + 5):
        drain_at(NOW + timedelta(hours=hours / 2))
    assert sum(keys["a1"] in ids and len(ids) == 1 for ids in tried) == ATTEMPTS
    assert Staleness.objects.get(athlete_id=keys["a1"]).attempts == ATTEMPTS


def test_new_facts_clear_a_failure(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    keys = squad(tmp_path, "a1", "a2")
    with monkeypatch.context() as broken:
        poison(broken, keys["a1"])
        for minutes in range(0, 120, 20):
            drain_at(NOW + timedelta(minutes=minutes))
    assert drain_at(NOW) == 0
    answer(6)
    assert drain_at(NOW) == 1
    row = Staleness.objects.get(athlete_id=keys["a1"])
    assert (row.failure, row.attempts, row.computed_rev) == ("", 0, row.input_rev)


@pytest.mark.parametrize("broken", ["chance out of range", "not a number in the body"])
def test_a_conclusion_that_cannot_be_stored_stops_no_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, broken: str
) -> None:
    keys = squad(tmp_path, "a1", "a2", "a3")
    real = at_hand.conclude_due

    def spoilt(group: Any, day: date) -> Any:
        rows = real(group, day)
        if row := rows.get(keys["a2"]):
            entry = replace(row.entries[0], p=2.0)
            changed = (
                {"entries": (entry,)} if "chance" in broken else {"body": row.body | {"x": float("nan")}}
            )
            rows[keys["a2"]] = replace(row, **changed)
        return rows

    monkeypatch.setattr(at_hand, "conclude_due", spoilt)
    assert drain_at(NOW) == 2
    assert set(Conclusion.objects.values_list("athlete_id", flat=True)) == {keys["a1"], keys["a3"]}
    failure = Staleness.objects.get(athlete_id=keys["a2"]).failure
    assert failure.startswith(("IntegrityError", "DataError"))  # PostgreSQL's JSON knows no NaN at all


def test_a_lost_connection_is_nobodys_failure(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The database goes away in the middle of a batch: no athlete is named, the rows wait for the claim to run out."""
    squad(tmp_path, "a1", "a2")

    def gone(group: Any, day: date) -> Any:
        raise OperationalError("server closed the connection unexpectedly")

    monkeypatch.setattr(at_hand, "conclude_due", gone)
    monkeypatch.setattr(connection, "is_usable", lambda: False)
    with pytest.raises(OperationalError):
        drain_at(NOW)
    assert set(Staleness.objects.values_list("failure", "attempts")) == {("", 1)}


def test_when_time_is_up_the_rest_of_the_batch_goes_back_at_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    squad(tmp_path, "a1", "a2")
    with monkeypatch.context() as slow:
        slow.setattr(at_hand, "conclude_due", lambda group, day: (_ for _ in ()).throw(recompute.OutOfTime()))
        with pytest.raises(recompute.OutOfTime):
            drain_at(NOW)
    assert set(Staleness.objects.values_list("failure", "claimed_until")) == {("", None)}
    assert drain_at(NOW) == 2


def test_a_drain_ends_with_its_time_and_leaves_the_rest_to_the_next(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Three seconds an athlete and ten in all: the second batch holds what fits, and nothing is begun after that."""
    squad(tmp_path, *(f"a{n}" for n in range(8)))
    real, sizes = at_hand.conclude_due, []
    monkeypatch.setattr(recompute, "FIRST", 2)
    with time_machine.travel(NOW, tick=False) as clock_at:

        def slow(group: Any, day: date) -> Any:
            clock_at.shift(3 * len(group))
            sizes.append(len(group))
            return real(group, day)

        monkeypatch.setattr(at_hand, "conclude_due", slow)
        recompute.drain(budget_s=10)
        assert sizes == [2, 1, 1] and recompute.waiting() == 4


def test_one_that_ends_its_process_takes_no_other_with_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """500 are claimed together with one that kills whoever computes it; that one alone is given up."""

    class Killed(BaseException):
        """Stands for the end of the process: nothing is recorded any more."""

    def deadly(claimed: Any) -> int:
        if any(due.athlete_id == 250 for due in claimed):
            raise Killed
        return len(staleness.finish([(due, LATEST) for due in claimed], NOW))

    staleness.raise_for(range(500), NOW)
    monkeypatch.setattr(recompute, "_batch", deadly)
    for _ in range(ATTEMPTS):
        with pytest.raises(Killed):
            drain_at(NOW, batch=500)
        Staleness.objects.update(claimed_until=None)
    assert drain_at(NOW, batch=500) == 0
    assert [row.athlete_id for row in staleness.late(NOW) if row.given_up] == [250]
    assert staleness.waiting(NOW) == 1 and staleness.given_up(NOW) == 1


def test_an_athlete_no_longer_in_the_records_leaves_no_row(tmp_path: Path) -> None:
    keys = squad(tmp_path, "a1")
    staleness.raise_for([keys["a1"] + 1000], NOW)
    assert drain_at(NOW) == 1
    assert list(Staleness.objects.values_list("athlete_id", flat=True)) == [keys["a1"]]


def utc(*parts: int) -> datetime:
    return datetime(*parts, tzinfo=UTC)  # type: ignore[arg-type]


MIDNIGHTS = [
    # zone, an instant of the day before, the first instant of the next day, and its local date
    (
        "Pacific/Kiritimati",
        NOW,
        utc(2027, 3, 12, 10),
        date(2027, 3, 13),
    ),  # UTC+14: 8 in the morning of the 12th
    (
        "Pacific/Pago_Pago",
        NOW,
        utc(2027, 3, 12, 11),
        date(2027, 3, 12),
    ),  # UTC-11: 7 in the morning of the 11th
    # Chile springs forward at 24:00 of the first Saturday of September (since 2023): no 00:00 that night.
    ("America/Santiago", utc(2026, 9, 6, 3), utc(2026, 9, 6, 4), date(2026, 9, 6)),
    # Samoa crossed the date line at the end of 29 December 2011: the 30th did not exist.
    ("Pacific/Apia", utc(2011, 12, 30, 9), utc(2011, 12, 30, 10), date(2011, 12, 31)),
    # Cuba falls back from 01:00 to 00:00: midnight comes twice, the day begins with the first.
    ("America/Havana", utc(2026, 11, 1, 3), utc(2026, 11, 1, 4), date(2026, 11, 1)),
    # Paraguay fell back from 24:00 to 23:00 until 2024: the day lasts an hour longer, whichever 23:30 it is.
    ("America/Asuncion", utc(2024, 3, 24, 2, 30), utc(2024, 3, 24, 4), date(2024, 3, 24)),
    ("America/Asuncion", utc(2024, 3, 24, 3, 30), utc(2024, 3, 24, 4), date(2024, 3, 24)),
]


@pytest.mark.parametrize(("zone", "before", "midnight", "day"), MIDNIGHTS)
def test_the_next_midnight_is_the_first_instant_of_the_next_day(
    zone: str, before: datetime, midnight: datetime, day: date
) -> None:
    """Instants of the IANA time zone database, as published for those zones."""
    assert clock.next_midnight(before, zone) == midnight
    assert clock.local_day(midnight, zone) == day
    assert clock.local_day(midnight - timedelta(seconds=1), zone) < day


@pytest.mark.parametrize("zone", ["Pacific/Kiritimati", "Pacific/Pago_Pago", "America/Santiago"])
def test_the_athletes_own_midnight_makes_conclusions_due(tmp_path: Path, zone: str) -> None:
    squad(tmp_path, "a1", timezone=zone)
    before = utc(2026, 9, 6, 3) if zone == "America/Santiago" else NOW
    midnight = next(m for z, b, m, _ in MIDNIGHTS if z == zone)
    assert drain_at(before) == 1 and drain_at(midnight - timedelta(seconds=1)) == 0
    assert drain_at(midnight) == 1 and drain_at(midnight) == 0
    days = list(Conclusion.objects.order_by("as_of").values_list("as_of", flat=True))
    assert days == [clock.local_day(before, zone), clock.local_day(midnight, zone)]


def test_one_sweep_serves_athletes_of_several_days(tmp_path: Path) -> None:
    """At 18:00 UTC it is the 12th in Kiritimati (UTC+14) and still the 11th in Pago Pago (UTC-11)."""
    zones = {"a1": "Pacific/Kiritimati", "a2": "Pacific/Pago_Pago"}
    athletes = [ATHLETE | {"athlete_id": code, "timezone": zone} for code, zone in zones.items()]
    bundles.load(tmp_path / "b", {"athletes": athletes})
    assert drain_at(NOW) == 2
    days = dict(Conclusion.objects.values_list("athlete_id", "as_of"))
    keys = dict(Athlete.objects.values_list("code", "id"))
    assert days == {keys["a1"]: date(2027, 3, 12), keys["a2"]: date(2027, 3, 11)}

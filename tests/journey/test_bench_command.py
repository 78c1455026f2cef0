"""The bench measures every path on a database of its own; what its ratios mean is for people to judge."""

from __future__ import annotations

import json
import signal
import threading
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.db import connection

from athletes.records.models import Athlete
from coaching.jobs import stopping
from coaching.usecases.bench import checkins as bench_checkins
from coaching.usecases.bench import running
from coaching.usecases.bench.checkins import CALLERS, DAYS, checkins
from coaching.usecases.bench.threads import Callers
from coaching.usecases.bench.timing import Turns, Work, interleaved, ratio, summary
from tests import databases

PATHS = ("checkins", "recompute", "batches", "filters", "slope", "morning", "plans")


@pytest.fixture(scope="session")
def measured(tmp_path_factory: pytest.TempPathFactory, django_db_blocker: Any) -> Any:
    """Once a session: tests with a database run before those without, so a module's fixture would be made twice."""
    out: Path = tmp_path_factory.mktemp("bench") / "bench.json"
    with django_db_blocker.unblock():
        call_command("bench", "--quick", "--athletes", "30", "--out", str(out), stderr=StringIO())
    return json.loads(out.read_text())


def ratios(found: Any) -> list[dict[str, Any]]:
    """Everything that compares one thing with another, however deep."""
    if not isinstance(found, dict):
        return []
    own = [found] if {"of", "to"} <= set(found) else []
    return own + [ratio for value in found.values() for ratio in ratios(value)]


@pytest.mark.slow
def test_every_path_is_there_with_its_ratios(measured: Any) -> None:
    paths = measured["paths"]
    assert tuple(paths) == PATHS and measured["complete"]
    assert (measured["format"], measured["size"]["athletes"]) == ("tenpads-bench", 30)
    assert len(ratios(paths)) >= 9 and "skipped" in paths["checkins"]
    kinds = ("cpu_median", "cpu_least", "wall_median", "wall_least", "cpu_paired", "wall_paired")
    assert all(one[kind] > 0 for one in ratios(paths) for kind in kinds)


@pytest.mark.slow
def test_what_is_compared_is_the_whole_squad(measured: Any) -> None:
    """30 athletes are one whole copy of the demo's 24 and part of a second; the list shows both squads."""
    paths = measured["paths"]
    assert paths["recompute"]["times"]["full"]["units"] == paths["batches"]["times"]["chunked"]["units"] == 24
    assert [paths["slope"]["times"][name]["units"] for name in ("tenth", "everybody")] == [3, 30]
    assert paths["morning"]["data_queries"] == 1
    assert paths["morning"]["rows"] == 48 and paths["morning"]["bytes"] > 48 * 1000
    assert paths["filters"]["times"]["last_days"]["units"] == 24
    assert paths["plans"]["athletes"] >= 1 and paths["plans"]["regret_on_small_cases"]["cases"] >= 1


@pytest.mark.slow
@pytest.mark.django_db
def test_the_database_of_the_installation_is_not_touched(measured: Any) -> None:
    assert not Athlete.objects.exists()


def test_a_ratio_is_one_of_single_athletes() -> None:
    """Ten that take twice as long as five cost the same each."""
    spent: list[str] = []
    works = {
        "ten": Work(lambda: spent.append("ten"), 10, lambda: spent.append("before")),
        "five": Work(lambda: spent.append("five"), 5),
    }
    taken = interleaved(works, Turns(2))
    assert spent == ["before", "ten", "five", "five", "before", "ten"]
    found = summary(works, taken)
    for name, seconds in (("ten", 4.0), ("five", 2.0)):
        found[name] |= {key: seconds for key in found[name] if key.endswith("_s")}
        found[name]["each_turn"] = {"cpu": [seconds, 3 * seconds], "wall": [seconds, seconds]}
    found["five"]["each_turn"]["wall"] = [2.0, 4.0]
    said = ratio("ten", "five", found)
    assert (said["cpu_median"], said["cpu_paired"], said["wall_paired"]) == (1.0, 1.0, 0.75)


def test_no_turn_is_begun_that_would_not_end_in_time() -> None:
    spent: list[str] = []
    works = {"one": Work(lambda: spent.append("one")), "other": Work(lambda: spent.append("other"))}
    taken = interleaved(works, Turns(9, seconds=0.0))
    assert spent == ["one", "other"] and [len(found) for found in taken.values()] == [1, 1]


class Enough(Exception):
    """Stands for whatever ends a run early."""


def _ends(*of: object) -> None:
    raise Enough


def test_what_was_measured_before_a_run_ended_early_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, django_db_blocker: Any
) -> None:
    out = tmp_path / "bench.json"

    monkeypatch.setattr(running, "large_squad", _ends)
    with django_db_blocker.unblock(), pytest.raises(Enough):
        call_command("bench", "--quick", "--out", str(out), stderr=StringIO())
    found = json.loads(out.read_text())
    assert tuple(found["paths"]) == ("checkins",) and not found["complete"]
    assert [path.name for path in tmp_path.iterdir()] == ["bench.json"]


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_a_run_told_to_stop_clears_up_and_a_second_word_does_not_disturb_it(number: int) -> None:
    cleared = []
    with pytest.raises(SystemExit) as ended, stopping.told_to_stop():
        try:
            signal.raise_signal(number)
        finally:
            signal.raise_signal(number)
            cleared.append("the database")
    assert cleared == ["the database"] and ended.value.code == 128 + number


@pytest.mark.service
@pytest.mark.slow
def test_check_ins_of_eight_callers_are_measured_and_leave_no_database(
    monkeypatch: pytest.MonkeyPatch, django_db_blocker: Any
) -> None:
    """Each caller's posts are stored as its own: a refused one would end the measuring with an error."""
    with django_db_blocker.unblock(), databases.served():
        before, url = _databases(), f"postgres://postgres@127.0.0.1:5432/{connection.settings_dict['NAME']}"
        found = checkins(url, Turns(1))
        with monkeypatch.context() as patched, pytest.raises(Enough):
            patched.setattr(bench_checkins, "_measured", _ends)
            checkins(url, Turns(1))
        assert _databases() == before
    assert found["callers"] == CALLERS == 8
    assert {one["units"] for one in found["times"].values()} == {24 * DAYS}
    assert 0 < found["share_of_the_floor"]["wall_median"] < 1


def _databases() -> set[str]:
    with connection.cursor() as cursor:
        cursor.execute("SELECT datname FROM pg_database WHERE datname LIKE 'tenpads_bench_%'")
        return {name for (name,) in cursor.fetchall()}


def test_callers_work_at_once_and_an_error_of_one_is_told() -> None:
    together, callers = threading.Barrier(3), Callers(3)
    callers.all_do([lambda: together.wait(10)] * 3)

    def fails() -> None:
        raise RuntimeError("refused")

    with pytest.raises(RuntimeError, match="refused"):
        callers.all_do([fails, lambda: None, lambda: None])
    callers.all_do([lambda: together.wait(10)] * 3)
    callers.go_home()

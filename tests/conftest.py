"""The same examples in every run; `TENPADS_EXPLORE=1` lets the property tests look for new ones."""

from __future__ import annotations

import os
from collections.abc import Iterator
from uuid import uuid4

import pytest
from hypothesis import settings

settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("explore", deadline=None)
settings.load_profile("explore" if os.environ.get("TENPADS_EXPLORE") else "steady")

TOGETHER = {
    "test_demo_command": "demo",
    "test_power_cut": "demo",
    "test_checkin_in_browser": "demo",
    "test_passkey_in_browser": "demo",
    "test_axe": "demo",
    "test_first_hour": "demo",
    "test_no_signal": "kept",
    "test_no_signal_coach": "kept",
    "test_bench_command": "bench",
    "test_assess_shape": "cases",
    "test_cases_through_assess": "cases",
    "test_situations_through_assess": "cases",
    "test_demo_conclusions": "conclusions",
    "test_skill_on_simulated_truth": "skill",
}
"""Modules that share something dear to make, by the group that stays on one of several test processes."""


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        group = TOGETHER.get(item.path.stem)
        if group:
            item.add_marker(pytest.mark.xdist_group(group))


@pytest.fixture(autouse=True, scope="session")
def _athletes_first_when_everything_goes() -> None:
    """SQLite empties tables row by row between tests that commit, and words of consent go only after their athlete."""
    from django.db.backends.sqlite3.base import DatabaseOperations  # by itself, its own module cannot be imported first

    flush = DatabaseOperations.sql_flush

    def sql_flush(self: DatabaseOperations, *args: object, **kwargs: object) -> list[str]:
        return sorted(flush(self, *args, **kwargs), key=lambda sql: 'FROM "records_athlete"' not in sql)

    DatabaseOperations.sql_flush = sql_flush


@pytest.fixture(autouse=True, scope="session")
def _rows_of_everybody() -> Iterator[None]:
    """Tests make and look at everybody's rows, as a command does; each request that they send has its own scope."""
    from athletes.records import row_scope

    with row_scope.everybody():
        yield


@pytest.fixture(autouse=True)
def _own_counts(monkeypatch: pytest.MonkeyPatch) -> None:
    """Tries counted in Redis outlive a test, as rows do not; so each test counts under a name of its own."""
    from coaching.usecases import limits

    monkeypatch.setattr(limits, "PREFIX", f"tenpads:tried:{uuid4().hex}:")

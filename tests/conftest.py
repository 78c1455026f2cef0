"""The same examples in every run; `TENPADS_EXPLORE=1` lets the property tests look for new ones."""

from __future__ import annotations

import os

import pytest
from hypothesis import settings

settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("explore", deadline=None)
settings.load_profile("explore" if os.environ.get("TENPADS_EXPLORE") else "steady")

TOGETHER = {
    "test_demo_command": "demo",
    "test_power_cut": "demo",
    "test_checkin_in_browser": "demo",
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

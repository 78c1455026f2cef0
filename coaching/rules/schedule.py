"""Critical path method on whole days: forward pass, backward pass, slack; and the same worked back from a
date.

Source: Kelley and Walker 1959, Critical-path planning and scheduling. Checked against a worked network of
eight activities in the reference tests.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta


@dataclass(frozen=True)
class Activity:
    name: str
    duration_d: int
    after: tuple[str, ...] = ()


@dataclass(frozen=True)
class Window:
    """Days from the start of the project; an activity that starts on day s with duration d is over on day s +
    d.
    """

    earliest_start_d: int
    earliest_finish_d: int
    latest_start_d: int
    latest_finish_d: int

    @property
    def slack_d(self) -> int:
        return self.latest_start_d - self.earliest_start_d


def windows(activities: Sequence[Activity], finish_d: int | None = None) -> dict[str, Window]:
    """Window of each activity, by name. `finish_d` is the day by which all must be over; None: as early as
    possible.

    Raises ValueError for an unknown or doubled name, a negative duration or a circle.
    """
    order = _in_order(activities)
    early: dict[str, tuple[int, int]] = {}
    for one in order:
        start_d = max((early[name][1] for name in one.after), default=0)
        early[one.name] = (start_d, start_d + one.duration_d)
    end_d = max((finish for _, finish in early.values()), default=0) if finish_d is None else finish_d
    late: dict[str, tuple[int, int]] = {}
    for one in reversed(order):
        over_d = min((late[next_.name][0] for next_ in order if one.name in next_.after), default=end_d)
        late[one.name] = (over_d - one.duration_d, over_d)
    return {one.name: Window(*early[one.name], *late[one.name]) for one in activities}


def latest_starts(end: date, chain: Iterable[tuple[str, int]]) -> dict[str, date]:
    """Latest start of each link of a chain, done one after the other, that must be over on `end`."""
    activities: list[Activity] = []
    for name, duration_d in chain:
        after = (activities[-1].name,) if activities else ()
        activities.append(Activity(name, duration_d, after))
    total_d = sum(one.duration_d for one in activities)
    start = end - timedelta(days=total_d)
    found = windows(activities, total_d)
    return {name: start + timedelta(days=window.latest_start_d) for name, window in found.items()}


def _in_order(activities: Sequence[Activity]) -> list[Activity]:
    by_name = {one.name: one for one in activities}
    if len(by_name) != len(activities):
        raise ValueError("two activities share a name")
    for one in activities:
        if one.duration_d < 0:
            raise ValueError(f"{one.name}: negative duration")
        for name in one.after:
            if name not in by_name:
                raise ValueError(f"{one.name}: comes after {name}, which is not known")
    order: list[Activity] = []
    placed: set[str] = set()
    while len(order) < len(activities):
        ready = [one for one in activities if one.name not in placed and placed.issuperset(one.after)]
        if not ready:
            raise ValueError("the activities go in a circle")
        order += ready
        placed.update(one.name for one in ready)
    return order

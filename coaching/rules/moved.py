"""A last day that moved since the day before, and what moved it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace

from coaching.rules.conclusions import Deadline

ON_DAMAGE = frozenset({"look", "taped-try"})
Key = tuple[str, str | None, str | None]


def since(now: Iterable[Deadline], before: Iterable[Deadline], *, event_moved: bool, rules_changed: bool) -> tuple[
    Deadline, ...
]:  # fmt: skip
    """The deadlines of today; one whose latest day is another than the day before says which, and why."""
    earlier = _by_key(before)
    found = list(now)
    for key, rows in _by_key(found).items():
        were = earlier.get(key, [])
        if len(were) != len(rows):  # one has come or gone: nothing says which moved
            continue
        for one, was in zip(rows, were, strict=True):
            if one.latest != was.latest:
                cause = _cause(one, was, event_moved, rules_changed)
                found[found.index(one)] = replace(one, was=was.latest, moved_by=cause)
    return tuple(found)


def _cause(one: Deadline, was: Deadline, event_moved: bool, rules_changed: bool) -> str:
    """event, closing, rules, look, pink or care: the fact that this kind of deadline hangs on."""
    if one.kind == "entry":
        return "closing"
    if event_moved:
        return "event"
    if rules_changed:
        return "rules"
    if one.kind in ON_DAMAGE:
        return "look"
    return "pink" if one.site or was.site else "care"


def _by_key(rows: Iterable[Deadline]) -> dict[Key, list[Deadline]]:
    found: dict[Key, list[Deadline]] = defaultdict(list)
    for one in rows:
        found[one.kind, one.form, one.site].append(one)
    return found

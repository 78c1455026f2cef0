"""What several entries about one thing come to, in whatever order they arrived: the fold of a register whose parts are
each written last by the entry of the highest order (a last-writer-wins map under Lamport's order of events, Comm. ACM
21 (7), 1978, from memory); signs of infection are joined, because no later entry may undo an alarm.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

Body = Mapping[str, Any]
SILENT: tuple[Any, ...] = (None, "")


@dataclass(frozen=True)
class Folding:
    """How parts of a body join: `united` are lists of codes of which none is ever lost, `either` truths of which one
    is enough, `keyed` lists of objects that join part by part where the named parts are the same. Any other part is
    the last that was said.
    """

    united: frozenset[str] = frozenset()
    either: frozenset[str] = frozenset()
    keyed: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


def folded(bodies: Iterable[Body], how: Folding) -> dict[str, Any]:
    """One body from all, which stand in their order; what was not said by any is not in it."""
    found: dict[str, Any] = {}
    for body in bodies:
        for name, value in body.items():
            if value not in SILENT:
                found[name] = _joined(name, found.get(name), value, how)
    return found


def _joined(name: str, before: Any, value: Any, how: Folding) -> Any:
    if name in how.united:
        return sorted({*(before or ()), *value})
    if name in how.either:
        return bool(before) or value
    if name in how.keyed:
        return _by_key(before or (), value, how.keyed[name])
    return value


def _by_key(before: Sequence[Body], value: Sequence[Body], key: Sequence[str]) -> list[dict[str, Any]]:
    found: dict[tuple[Any, ...], dict[str, Any]] = {}
    for one in (*before, *value):
        said = {name: part for name, part in one.items() if part not in SILENT}
        found.setdefault(tuple(one.get(name) for name in key), {}).update(said)
    return list(found.values())


def told_besides(standing: Body, known: Body, how: Folding) -> dict[str, Any]:
    """What stands and does not come from the entries known: somebody told it by another way. A part that is united or
    keyed counts where it holds more or other than is known.
    """
    besides: dict[str, Any] = {}
    for name, value in standing.items():
        if value in SILENT or _alike(value, known.get(name)) or (value == [] and name not in known):
            continue  # a list is empty as well where nobody was asked
        if name in how.united and set(value) <= set(known.get(name) or ()):
            continue
        if name in how.keyed:
            value = _not_in(value, known.get(name) or (), how.keyed[name])
        if value or name not in how.keyed:
            besides[name] = value
    return besides


def _not_in(value: Sequence[Body], known: Sequence[Body], key: Sequence[str]) -> list[Body]:
    before = {tuple(one.get(name) for name in key): one for one in known}
    found = []
    for one in value:
        same = before.get(tuple(one.get(name) for name in key), {})
        if any(part not in SILENT and same.get(name) != part for name, part in one.items()):
            found.append(one)
    return found


def _alike(one: Any, other: Any) -> bool:
    """The same, where the order within a list says nothing."""
    if isinstance(one, list) and isinstance(other, list):
        both = ({json.dumps(item, sort_keys=True) for item in found} for found in (one, other))
        return next(both) == next(both)
    return bool(one == other)

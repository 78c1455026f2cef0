"""The same within: every column of every table sent inside what a body holds, in lists and in what a phone kept.

A door that is strict at its top and takes whatever lies one step further down would be open all the same. That no
serializer is left out is held by asking which of them the good bodies went through.
"""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy
from typing import Any

import pytest
from rest_framework import serializers

from api.v1 import answers_in, delivered_kinds
from api.v1.fields import StrictSerializer
from tests.api_calls import GOOD
from tests.api_cast import BODIES, DAY
from tests.bars import test_mass_assignment as top
from tests.bars import world as worlds

pytestmark = pytest.mark.django_db
clock, rows = top.clock, top.rows
AT = f"{DAY}T08:00:00Z"
MARK = {"site": "L-index-tip", "mark": "pink"}
WHOLE = {
    **GOOD, "marks": [MARK], "damage": [{"site": "L-ring-tip", "kind": "cut"}],
    "looks": [{"episode_id": "d1", "stage": "open"}],
}  # fmt: skip
PHONE = {
    "check-in": WHOLE,
    "tap": {"key": "t1", "local_date": DAY, "ordinal": 1, "what": "try", "at": AT, "surface": "wood"},
    "damage": {"local_date": DAY, "site": "L-ring-tip", "kind": "cut"},
    "session": {"local_date": DAY, "minutes": 60},
    "look": {"local_date": DAY, "episode_id": "d1", "stage": "open"},
    "step": {"local_date": DAY, "verb": "soften", "form": "wax balm", "part": "night", "status": "done"},
}
"""A good body of each kind of entry that a phone keeps."""


def delivery(kind: str) -> dict[str, Any]:
    return {"kind": kind, "device": "0" * 16, "seq": 1, "body": PHONE[kind]}


def within(kind: type[serializers.Serializer]) -> dict[str, type[serializers.Serializer]]:
    """Serializers of the lists that a body holds, by name."""
    lists = {name: field for name, field in kind().fields.items() if isinstance(field, serializers.ListSerializer)}
    return {name: type(field.child) for name, field in lists.items()}


Place = tuple[str, str, dict[str, Any], tuple[str | int, ...], type[serializers.Serializer]]
PLACES: dict[str, Place] = {
    **{
        f"{name} of a check-in": ("athlete", "check-ins", WHOLE, (name, 0), kind)
        for name, kind in within(answers_in.CheckInIn).items()
    },
    "marks of a sighting": ("head-coach", *BODIES["sighting"], ("marks", 0), answers_in.MarkIn),
    **{
        f"delivered {kind}": ("athlete", "deliveries", delivery(kind), ("body",), delivered_kinds.KINDS[kind].body)
        for kind in PHONE
    },
    **{
        f"{name} of a delivered {kind}": ("athlete", "deliveries", delivery(kind), ("body", name, 0), what)
        for kind in PHONE
        for name, what in within(delivered_kinds.KINDS[kind].body).items()
    },
}  # fmt: skip
"""Who sends what to which door, the steps down to a place in it, and the serializer that reads what lies there."""


def taken(client: Any, place: str, names: list[str]) -> list[str]:
    """Columns that the door did not refuse by name and place, all of them sent at once."""
    _, path, body, steps, _ = PLACES[place]
    sent = deepcopy(body)
    at: Any = sent
    for step in steps:
        at = at[step]
    at.update(dict.fromkeys(names, 1))
    answer = top.send(client, "post", f"athletes/a1/{path}", sent)
    refused = {error.get("pointer") for error in answer.json().get("errors", ())}
    where = "/".join(map(str, steps))
    return [name for name in names if answer.status_code != 422 or f"#/{where}/{name}" not in refused]


@pytest.mark.parametrize("place", PLACES)
def test_what_lies_further_down_is_refused_by_its_place_too(rows: list[Any], place: str) -> None:
    role, path, body, _, kind = PLACES[place]
    client = top.signed_in(role, rows)
    others = [name for name in top.columns() if name not in kind().fields]
    before = worlds.digest()
    assert taken(client, place, others) == [] and len(others) > 150
    assert worlds.digest() == before
    answer = top.send(client, "post", f"athletes/a1/{path}", body)
    assert answer.status_code in (200, 201), "the body alone is good"


def test_planted_a_list_that_takes_whatever_it_is_sent_is_found(
    rows: list[Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    real = serializers.Serializer.to_internal_value
    lenient = lambda self, data: real(self, {name: data[name] for name in self.fields if name in data})  # noqa: E731
    monkeypatch.setattr(answers_in.MarkIn, "to_internal_value", lenient, raising=False)
    client = top.signed_in("athlete", rows)
    assert taken(client, "marks of a check-in", ["athlete_id", "by"]) == ["athlete_id", "by"]
    assert taken(client, "looks of a check-in", ["athlete_id", "by"]) == []


def subclasses(kind: type) -> Iterator[type]:
    for one in kind.__subclasses__():
        yield one
        yield from subclasses(one)


def test_no_serializer_that_takes_something_is_left_out(rows: list[Any], monkeypatch: pytest.MonkeyPatch) -> None:
    """Every good body is sent once, and which serializers read it is noted."""
    read: set[type] = set()
    real = StrictSerializer.to_internal_value

    def noted(self: Any, data: Any) -> Any:
        read.add(type(self))
        return real(self, data)

    monkeypatch.setattr(StrictSerializer, "to_internal_value", noted)
    sent = [(top.teller(what), *told) for what, told in top.operations().items()]
    sent += [(role, "post", f"athletes/a1/{path}", body) for role, path, body, _, _ in PLACES.values()]
    for role, method, path, body in sent:
        top.send(top.signed_in(role, rows), method, path, body)
    ours = {one for one in subclasses(StrictSerializer) if one.__module__.startswith("api.")}
    assert {one.__name__ for one in ours - read} == {"SeenIn"}, "which two others are made of, and no door reads"


def test_what_is_not_strict_takes_nothing() -> None:
    """Serializers of answers alone; and each kind of entry and each list in a body has its place above."""
    lax = [one for one in subclasses(serializers.Serializer) if one.__module__.startswith("api.")]
    lax = [one for one in lax if not issubclass(one, StrictSerializer) and one is not StrictSerializer]
    assert {one.__name__ for one in lax if not one.__name__.endswith(("Out", "Stored", "Problem"))} == set()
    assert set(PHONE) == set(delivered_kinds.KINDS)
    assert set(within(answers_in.CheckInIn)) == {"marks", "damage", "looks"}

"""What a process remembers: made once, not too much of it, and nothing of a failure."""

from __future__ import annotations

import pytest

from coaching.pages.kept import Kept


def test_a_value_is_made_once_and_again_after_clearing() -> None:
    made: list[str] = []

    def make() -> str:
        made.append("made")
        return f"value {len(made)}"

    kept: Kept[str] = Kept(2)
    assert [kept.get("a", make), kept.get("a", make)] == ["value 1", "value 1"]
    kept.clear()
    assert kept.get("a", make) == "value 2"


def test_the_one_not_asked_for_longest_goes_first() -> None:
    made: list[str] = []
    kept: Kept[str] = Kept(2)

    def ask(key: str) -> str:
        return kept.get(key, lambda: made.append(key) or key)

    assert [ask(key) for key in ("a", "b", "a", "c", "a", "b")] == ["a", "b", "a", "c", "a", "b"]
    assert made == ["a", "b", "c", "b"]


def test_a_failure_is_not_kept() -> None:
    def fails() -> str:
        raise RuntimeError("half a line")

    kept: Kept[str] = Kept(2)
    with pytest.raises(RuntimeError):
        kept.get("a", fails)
    assert kept.get("a", lambda: "whole") == "whole"

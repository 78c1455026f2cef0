"""Rows of the register on how a squad's damage heals: what its own looks teach of the trade's times, and re-opening."""

from __future__ import annotations

from typing import Any

J, A = "judgement", "assumption"

_CLASSES = {
    "split_shallow_pad": "a shallow split of a pad",
    "split_deep_pad": "a deep split of a pad",
    "split_shallow_crease": "a shallow split of a crease",
    "split_deep_crease": "a deep split of a crease",
    "flapper": "a flapper",
    "tear": "a tear",
    "blister": "a blister",
    "cut_shallow": "a shallow cut",
    "cut_deep": "a deep cut",
    "graze": "a graze",
    "holed": "a holed tip",
}

ROWS: tuple[tuple[Any, ...], ...] = (
    (
        "healing_own_history",
        "1",
        0,
        1,
        0.0,
        J,
        "how much an athlete's finished damage tells of their pace: all of it, or nothing in versions that did not ask",
    ),
    (
        "healing_time_factor",
        "1",
        0.3,
        3,
        1.0,
        A,
        "the trade's times stand until a squad's own looks say more: all damage alike",
        0.35,
        True,
    ),
    *(
        (
            f"healing_factor_{name}",
            "1",
            0.3,
            3,
            1.0,
            A,
            f"the trade's times stand until a squad's own looks say more: {words} apart from other damage",
            0.3,
            True,
        )
        for name, words in _CLASSES.items()
    ),
    (
        "healing_closes_factor_shallow",
        "1",
        0.2,
        15,
        1.0,
        A,
        "the trade does not tell stages apart: how much longer shallow damage stays open than its row says",
        0.7,
        True,
    ),
    (
        "healing_closes_factor_deep",
        "1",
        0.2,
        5,
        1.0,
        A,
        "the trade does not tell stages apart: how much longer deep damage stays open than its row says",
        0.35,
        True,
    ),
    (
        "healing_spread_factor",
        "1",
        0.4,
        2.5,
        1.0,
        A,
        "how much more or less than the trade's ranges say one athlete's equal damage differs",
        0.25,
        True,
    ),
    (
        "healing_spread_deep_crease_factor",
        "1",
        0.4,
        4,
        1.0,
        A,
        "the trade's range of deep creases is narrower than any other: how much more their equal splits differ",
        0.35,
        True,
    ),
    (
        "healing_reopens_per_slu",
        "1/SLU",
        0,
        0.3,
        0.0,
        A,
        "hazard that closed damage opens again by a unit of load; nil in versions without it, else learned from looks",
    ),
    (
        "healing_taped_load_share",
        "1",
        0.2,
        1,
        0.6,
        A,
        "tape takes some of the load off damage that has closed; size assumed",
    ),
)

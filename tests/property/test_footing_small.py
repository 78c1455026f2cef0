"""What is made small comes back to the byte, and damage is noticed."""

from __future__ import annotations

import struct

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.science.footing_small import small, whole


@given(st.lists(st.floats(width=64), max_size=80))
def test_numbers_come_back_to_the_byte(values: list[float]) -> None:
    packed = struct.pack(f"<{len(values)}d", *values)
    assert whole(small(packed)) == packed


@given(st.binary(max_size=100))
def test_so_do_bytes_that_are_no_numbers(packed: bytes) -> None:
    assert whole(small(packed)) == packed


def test_what_repeats_takes_little_room() -> None:
    assert len(small(struct.pack("<500d", *([0.25] * 500)))) < 100  # of 4000; zlib is known for no worse


@given(st.binary(min_size=16, max_size=400), st.data())
def test_damage_is_refused_or_does_no_harm(packed: bytes, data: st.DataObject) -> None:
    made = bytearray(small(packed))
    made[data.draw(st.integers(2, len(made) - 1))] ^= data.draw(st.integers(1, 255))
    try:
        assert whole(bytes(made)) == packed
    except ValueError as error:
        assert "damaged" in str(error)


def test_what_was_cut_short_is_refused() -> None:
    with pytest.raises(ValueError, match="damaged"):
        whole(small(b"12345678" * 9)[:-3])

"""Footings made small for keeping: the same bits, ordered so that what repeats lies together, and compressed."""

from __future__ import annotations

import zlib

import numpy as np

WIDTH = 8
"""Bytes of a float64."""


def small(packed: bytes) -> bytes:
    """Return the bytes of one athlete's footing made smaller.

    Parameters: packed (as from `footing.packed`).
    Returns: compressed bytes, the same for the same input.
    Raises: nothing.
    Assumes: signs and exponents of a footing's numbers are alike, and much of it is nil or not known.
    Source: byte transposition before a general compressor, common practice, no source;
        tests/property/test_footing_small.py.
    """
    if len(packed) % WIDTH:
        return zlib.compress(packed, 6)
    by_place = np.frombuffer(packed, dtype=np.uint8).reshape(-1, WIDTH).T
    return zlib.compress(np.ascontiguousarray(by_place).tobytes(), 6)


def whole(made_small: bytes) -> bytes:
    """Return the bytes that `small` was given.

    Parameters: made_small (as from `small`).
    Returns: bytes as from `footing.packed`.
    Raises: ValueError where the bytes are damaged.
    Assumes: nothing.
    Source: as `small`; tests/property/test_footing_small.py.
    """
    try:
        found = zlib.decompress(made_small)
    except zlib.error as error:
        raise ValueError("a damaged footing") from error
    if len(found) % WIDTH:
        return found
    by_number = np.frombuffer(found, dtype=np.uint8).reshape(WIDTH, -1).T
    return np.ascontiguousarray(by_number).tobytes()

"""Which letters the fonts inside the typesetter can draw, so that no name stops a sheet from being made.

The accessible PDF standard refuses a page with a letter that has no shape. Letters outside the known blocks become an
empty box, and the sheet says what the box means.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from typing import Any

BOX = "\N{WHITE SQUARE}"
_BLOCKS = ((0x20, 0x52F), (0x590, 0x5FF), (0x600, 0x6FF), (0x1E00, 0x23FF), (0x2500, 0x25FF))
"""Latin, Greek and Cyrillic; Hebrew; Arabic; their extensions, punctuation and signs; boxes and shapes."""
_JOINERS = "\u200c\u200d"


def drawable(text: str) -> str:
    """The text with control marks dropped, line ends as spaces and letters outside the blocks as boxes."""
    return "".join(_letter(letter) for letter in text)


def _letter(letter: str) -> str:
    if letter in "\n\r\t":
        return " "
    if unicodedata.category(letter) in ("Cc", "Cf") and letter not in _JOINERS:
        return ""
    return letter if any(first <= ord(letter) <= last for first, last in _BLOCKS) else BOX


def lost(text: str) -> bool:
    """Whether a letter of the text cannot be drawn."""
    return BOX in drawable(text) and BOX not in text


def through(value: Any, change: Callable[[str], str]) -> Any:
    """Nested lists, tuples and dicts with every text changed; keys stay."""
    if isinstance(value, str):
        return change(value)
    if isinstance(value, dict):
        return {key: through(inner, change) for key, inner in value.items()}
    return [through(inner, change) for inner in value] if isinstance(value, (list, tuple)) else value

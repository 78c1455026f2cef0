"""The order of names as a list of people has it, whatever database they come from: accents and case count last.

It is the order of German (DIN 5007-1) and French dictionaries, and near enough elsewhere: a base letter first, its mark
only between names that are otherwise alike.
"""

from __future__ import annotations

import unicodedata

_LETTERS = str.maketrans({"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i"})
"""Letters that Unicode does not take apart into a base letter and a mark."""


def key(name: str, code: str = "") -> tuple[str, str, str]:
    """What a list by name is sorted by; `code` divides people of one name."""
    folded = unicodedata.normalize("NFKD", name.casefold().translate(_LETTERS))
    return "".join(letter for letter in folded if not unicodedata.combining(letter)), name, code

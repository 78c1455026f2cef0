"""What is left of a password once the tricks are taken away that everybody knows."""

from __future__ import annotations

import unicodedata

FOR_LETTERS = str.maketrans({"@": "a", "4": "a", "3": "e", "1": "i", "!": "i", "0": "o", "$": "s", "5": "s", "7": "t"})


def folded(text: str) -> str:
    """Small letters without accents, signs and digits that stand for letters read as such, all else dropped."""
    plain = unicodedata.normalize("NFKD", text).casefold().translate(FOR_LETTERS)
    return "".join(c for c in plain if c.isalnum())


def variants(text: str) -> set[str]:
    """Ways to read it: with all signs as letters, without what stands before the first and after the last letter, and
    with signs dropped.
    """
    letters = [n for n, c in enumerate(text) if c.isalpha()]
    inner = text[letters[0] : letters[-1] + 1] if letters else text
    return {folded(text), folded(inner), folded("".join(c for c in text if c.isalnum()))}

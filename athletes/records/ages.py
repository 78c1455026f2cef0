"""From which age a child may be the first to speak, by the country of their club."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

FILE = Path(__file__).with_name("ages.toml")


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads(FILE.read_text(encoding="utf-8"))


def own_word_from(country: str) -> int:
    """Years of age; those of the strictest country where the club's is not known."""
    table = _table()
    return int(table["countries"].get(country.upper(), table["default"]))

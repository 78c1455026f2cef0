"""The number that reaches help in the country of a time zone, and where that is known from."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

FILE = Path(__file__).with_name("emergency.toml")


@dataclass(frozen=True)
class Emergency:
    """`country` as ISO 3166-1 names it in English, `number` empty where it is not known; `standard`: said by a
    directive, and not from memory.
    """

    code: str
    country: str
    number: str
    standard: bool


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads(FILE.read_text(encoding="utf-8"))


def mobile_numbers() -> tuple[str, ...]:
    """What a mobile telephone takes for an emergency number on any network."""
    return tuple(_table()["mobile"])


def emergency_in(timezone: str) -> Emergency | None:
    """By the country that the zone database gives the zone; None where it gives none."""
    code = _countries().get(timezone)
    if code is None:
        return None
    table = _table()
    if code in table["european_union"]["countries"]:
        return Emergency(code, _names()[code], table["european_union"]["number"], standard=True)
    return Emergency(code, _names()[code], table["from_memory"].get(code, ""), standard=False)


@cache
def _countries() -> dict[str, str]:
    """Country of each zone: `zone.tab` of the IANA time zone database, which gives each zone one."""
    return {row[2]: row[0] for row in _rows("zone.tab")}


@cache
def _names() -> dict[str, str]:
    return {row[0]: row[1] for row in _rows("iso3166.tab")}


def _rows(name: str) -> list[list[str]]:
    text = resources.files("tzdata.zoneinfo").joinpath(name).read_text(encoding="utf-8")
    return [line.split("\t") for line in text.splitlines() if line and not line.startswith("#")]

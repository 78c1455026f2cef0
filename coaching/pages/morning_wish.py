"""What the address of the morning list asks for: an order, one level, one event, only what has changed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, Protocol, TypeVar
from urllib.parse import urlencode

from django.http import QueryDict
from django.utils.translation import gettext

from athletes.records import by_name
from coaching.wording import levels

SORTS = ("need", "event", "name")


class Line(Protocol):
    """What is sorted and picked by."""

    name: str
    level: str | None
    events: tuple[str, ...]
    first_day: date
    changed: bool


L = TypeVar("L", bound=Line)


@dataclass(frozen=True)
class Wish:
    """Nothing asked for is the whole list by need. What the address asks for and nobody knows counts as not asked."""

    sort: str = "need"
    level: str = ""
    event: str = ""
    changed: bool = False

    @classmethod
    def read(cls, asked: QueryDict) -> Wish:
        sort, level = asked.get("sort", ""), asked.get("level", "")
        return cls(
            sort if sort in SORTS else "need",
            level if level in levels.ORDER else "",
            asked.get("event", ""),
            asked.get("changed", "") == "1",
        )

    @property
    def picks(self) -> bool:
        return bool(self.level or self.event or self.changed)

    def of(self, lines: Sequence[L]) -> list[L]:
        """The lines that were asked for; they come by need, and stay so where nothing else tells them apart."""
        found = [one for one in lines if self._holds(one)]
        if self.sort == "event":
            found.sort(key=lambda one: one.first_day)
        elif self.sort == "name":
            found.sort(key=lambda one: by_name.key(one.name))
        return found

    def _holds(self, one: Line) -> bool:
        return (
            (not self.level or one.level == self.level)
            and (not self.event or self.event in one.events)
            and (not self.changed or one.changed)
        )

    def address(self, **other: Any) -> str:
        """The query of the address, with something else in it."""
        wish = replace(self, **other)
        told = {"sort": "" if wish.sort == "need" else wish.sort, "level": wish.level, "event": wish.event}
        found = {name: value for name, value in told.items() if value} | ({"changed": "1"} if wish.changed else {})
        return "?" + urlencode(found)


@dataclass(frozen=True)
class Choices:
    """Links as (address, words, whether chosen). `events` are (code, name), all that anybody is entered in."""

    wish: Wish
    events: tuple[tuple[str, str], ...]

    @property
    def sorts(self) -> list[tuple[str, str, bool]]:
        words = {"need": gettext("by need"), "event": gettext("by event"), "name": gettext("by name")}
        return [(self.wish.address(sort=code), words[code], code == self.wish.sort) for code in SORTS]

    @property
    def picks(self) -> list[tuple[str, str, bool]]:
        wish = self.wish
        everybody = (Wish(sort=wish.sort).address(), gettext("everybody"), not wish.picks)
        changed = (wish.address(changed=not wish.changed), gettext("changed since yesterday"), wish.changed)
        events = [
            (wish.address(event="" if code == wish.event else code), name, code == wish.event)
            for code, name in self.events
        ]
        return [everybody, changed, *events]

    @property
    def said(self) -> str:
        """What is chosen now, in one line."""
        sort = next(words for _, words, chosen in self.sorts if chosen)
        picked = [words for _, words, chosen in self.picks if chosen]
        level = [levels.level(self.wish.level)] if self.wish.level else []
        return ", ".join([sort, *level, *picked])

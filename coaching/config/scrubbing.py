"""What no log keeps: the secret of an address, and the row that a database quotes when it refuses it.

A long segment of a path becomes three dots, as the proxy writes it too. Of an error's message the part goes that tells
values: PostgreSQL's DETAIL and what follows it shows the whole row that failed a check, notes and all, and some first
lines quote the value. Which rule was broken, where in the code and in which function stays.
"""

from __future__ import annotations

import logging
import re
from collections.abc import Iterator
from typing import Any

SECRET = re.compile(r"(?<=/)[A-Za-z0-9_-]{24,}[^\s/?]*")
"""Every secret that we put into an address is longer; no name of a page is."""
ROW = re.compile(r"(?:\n|\\n)(?:DETAIL|CONTEXT|QUERY|STATEMENT|LINE \d+):.*", re.DOTALL)
"""Further fields of a message of PostgreSQL (its manual, Error and Notice Message Fields, from memory), as they are and
as `repr` writes them.
"""
VALUE = re.compile(r'(?<=: )"[^"]*"|(?<=value )"[^"]*"')
"""A value that a first line quotes; names of rules and tables follow another word."""


def scrubbed(text: str) -> str:
    return SECRET.sub("...", text)


def without_values(text: str) -> str:
    """What an error says, without what was to be stored."""
    return VALUE.sub('"..."', ROW.sub("", text))


class ScrubSecrets(logging.Filter):
    """On whatever writes records out, so that no logger of a library gets past it."""

    def filter(self, record: logging.LogRecord) -> bool:
        said = record.getMessage()
        if (cut := scrubbed(without_values(said))) != said:
            record.msg, record.args = cut, ()
        return True


class Untold(logging.Formatter):
    """Writes a trace with the messages of its errors cut as above."""

    def formatException(self, ei: Any) -> str:  # noqa: N802 - the library's own spelling
        text = super().formatException(ei)
        for error in _behind(ei[1]):
            said = str(error)
            if (cut := without_values(said)) != said:
                text = text.replace(said, cut)
        return text


def _behind(error: BaseException | None) -> Iterator[BaseException]:
    """The error, and each that it came from or was met on the way."""
    todo, seen = [error], set[int]()
    while todo:
        one = todo.pop()
        if one is not None and id(one) not in seen:
            seen.add(id(one))
            yield one
            todo += [one.__cause__, one.__context__, *getattr(one, "exceptions", ())]

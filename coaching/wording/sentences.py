"""A sentence with its dates set in bold, and the same sentence as plain text."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

_OPEN, _CLOSE = "\x02", "\x03"
_BOLD = re.compile(f"{_OPEN}([^{_CLOSE}]*){_CLOSE}")


def bold(words: object) -> str:
    """Words to be set in bold once they stand in a `Sentence`."""
    return f"{_OPEN}{words}{_CLOSE}"


@dataclass(frozen=True)
class Sentence:
    """Text in which `bold` parts are marked; `plain` reads aloud, `html` is escaped and safe to print."""

    marked: str

    @property
    def plain(self) -> str:
        return self.marked.replace(_OPEN, "").replace(_CLOSE, "")

    @property
    def html(self) -> SafeString:
        # Escaped first; the only markup added afterwards is our own pair of tags.
        return mark_safe(_BOLD.sub(r"<strong>\1</strong>", str(escape(self.marked))))  # noqa: S308

    def __str__(self) -> str:
        return self.plain

    def __bool__(self) -> bool:
        return bool(self.marked)


def sentence(template: str, **values: object) -> Sentence:
    """Fill a translated template of the form "Look on %(date)s"."""
    return Sentence(str(template) % values)


def joined(parts: Iterable[Sentence | None]) -> Sentence:
    """Several sentences one after another; missing ones are left out."""
    return Sentence(" ".join(part.marked for part in parts if part))


def series(words: Iterable[object]) -> str:
    """ "A", "A and B", "A, B and C"."""
    found = [str(word) for word in words]
    if len(found) < 2:
        return "".join(found)
    return gettext("%(most)s and %(last)s") % {"most": ", ".join(found[:-1]), "last": found[-1]}


def capital(words: object) -> str:
    """The words with a capital at their head; the rest stays as it is."""
    text = str(words)
    return text[:1].upper() + text[1:]

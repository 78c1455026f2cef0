"""Cautions in the reader's language. Until a clinician has read a translation it says so, with the English beside it.

`cautions_read.toml` says which translations somebody has read: under the language, the English text with who read it,
when, and the fingerprint of the translation that they read. A translation that changed afterwards counts as not read.
"""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Callable, Mapping
from functools import cache, partial
from pathlib import Path
from typing import Any

from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import get_language, gettext, override

from coaching.wording import care

ORIGINAL = "en"
"""The language in which cautions are written."""
READ_FILE = Path(__file__).with_name("cautions_read.toml")


@cache
def signed() -> Mapping[str, Mapping[str, Mapping[str, Any]]]:
    """language -> English text -> who read its translation, when, and its fingerprint."""
    return tomllib.loads(READ_FILE.read_text(encoding="utf-8"))


def fingerprint(translation: str) -> str:
    """Names one wording of a translation."""
    return hashlib.sha256(translation.encode()).hexdigest()[:16]


def is_read(language: str, english: str, translation: str) -> bool:
    """Somebody clinical has read this very translation."""
    found = signed().get(language, {}).get(english)
    return found is not None and found["fingerprint"] == fingerprint(translation)


def beside(make: Callable[[], str]) -> SafeString:
    """What `make` says in the reader's language, escaped; with the English and a note where nobody has read it yet."""
    said, english = make(), english_unread(make)
    if not english:
        return format_html("{}", said)
    note = gettext("Translation not yet read by a clinician:")
    return format_html(
        '{} <small class="unread">{} <span lang="{}">{}</span></small>', said, note, ORIGINAL, english
    )  # fmt: skip


def rule(text: str) -> SafeString:
    """The caution of an entry of the rulebook, for a page."""
    return beside(partial(care.rulebook_text, text))


def plain(make: Callable[[], str]) -> str:
    """The same as plain text, for paper."""
    said, english = make(), english_unread(make)
    if not english:
        return said
    return gettext("%(said)s (Translation not yet read by a clinician: %(english)s)") % {
        "said": said, "english": english,
    }  # fmt: skip


def each(make: Callable[[], list[str]]) -> list[SafeString]:
    """`beside` for each of several cautions that are said together."""
    return [beside(lambda n=n: make()[n]) for n in range(len(make()))]  # type: ignore[misc]


def lines(make: Callable[[], list[str]]) -> list[str]:
    """Several cautions as plain text, then one line with the note and the English of those that nobody has read."""
    said = make()
    english = [english_unread(lambda n=n: make()[n]) for n in range(len(said))]  # type: ignore[misc]
    if not any(english):
        return said
    note = gettext("Translation not yet read by a clinician:")
    return [*said, " ".join([note, *filter(None, english)])]


def english_unread(make: Callable[[], str]) -> str:
    """The English of what `make` says; empty where it is read in English, says nothing, or was read by somebody."""
    language = (get_language() or ORIGINAL).partition("-")[0]
    if language == ORIGINAL:
        return ""
    with override(ORIGINAL):
        english = make()
    return "" if not english or is_read(language, english, make()) else english

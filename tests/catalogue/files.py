"""The catalogues as files: read, renewed from the tree, written the same way every time."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from tests.catalogue.extraction import ROOT, Key

LOCALE = ROOT / "coaching" / "config" / "locale"
LANGUAGES = ("de", "fr")
WAITING = Path(__file__).with_name("waiting.json")
"""The texts of each language that wait for a translation: pages show them in English until then."""
MADE = datetime(2026, 11, 28, tzinfo=UTC)
"""Stands in every header: a date that moved with each run would only make noise."""


def path(language: str) -> Path:
    """Where the catalogue of a language stands."""
    return LOCALE / language / "LC_MESSAGES" / "django.po"


def read(language: str) -> Catalog:
    """The catalogue of a language; an empty one where there is none."""
    found = path(language)
    if not found.exists():
        return Catalog(locale=language)
    with found.open("rb") as file:
        return read_po(file, locale=language)


def keyed(catalogue: Catalog) -> dict[Key, str | tuple[str, ...]]:
    """(context, text, text for several) -> translation, or translations in the order of the plural forms."""
    found: dict[Key, str | tuple[str, ...]] = {}
    for message in catalogue:
        if message.id:
            one, more = message.id if isinstance(message.id, tuple) else (message.id, "")
            found[message.context or "", one, more] = message.string
    return found


def make(language: str, words: dict[Key, str | tuple[str, ...]]) -> Catalog:
    """A catalogue that holds exactly these texts, sorted."""
    made = Catalog(locale=language, project="Tenpads", version="1", creation_date=MADE, revision_date=MADE,
                   copyright_holder="the authors of Tenpads", fuzzy=False, last_translator="the authors of Tenpads",
                   language_team="the authors of Tenpads", charset="utf-8",
                   header_comment=f"# Tenpads in '{language}'. Made by: python -m tests.catalogue.renew")  # fmt: skip
    for (context, one, more), said in sorted(words.items()):
        made.add((one, more) if more else one, said, context=context or None)
    return made


def po(catalogue: Catalog) -> bytes:
    """The text of a catalogue."""
    out = BytesIO()
    write_po(out, catalogue, width=0, no_location=True, sort_output=True)
    return out.getvalue()


def mo(catalogue: Catalog) -> bytes:
    """The file that Django reads; untranslated texts are not in it."""
    out = BytesIO()
    write_mo(out, catalogue)
    return out.getvalue()


def write(language: str, catalogue: Catalog) -> None:
    """Write both files of a language. The second is made from the first as it reads back."""
    found = path(language)
    found.parent.mkdir(parents=True, exist_ok=True)
    found.write_bytes(po(catalogue))
    found.with_suffix(".mo").write_bytes(mo(read(language)))


def waiting() -> dict[str, list[str]]:
    """The texts that wait, by language."""
    found: dict[str, list[str]] = json.loads(WAITING.read_text(encoding="utf-8"))
    return found


def list_waiting() -> dict[str, list[str]]:
    """Write the list of them anew, and return it."""
    found = {}
    for language in LANGUAGES:
        words = keyed(read(language)).items()
        found[language] = sorted(key[1] for key, said in words if not (all(said) if isinstance(said, tuple) else said))
    WAITING.write_text(json.dumps(found, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    return found

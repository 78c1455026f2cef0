"""Papers in the reader's language, read back as PDF: the file says which language it is in, and no letter is lost.

ISO 14289-1 (PDF/UA-1), 7.2: the language of the text is told; ISO 32000-2, 14.9.2: it is the catalogue's /Lang.
"""

from __future__ import annotations

import io

import pytest
from django.utils import translation
from pypdf import PdfReader

from coaching.sheets.event_sheet import event_sheet_pdf
from coaching.sheets.letters import lost
from coaching.wording.event_sheet import sheet_of
from tests import event_cast as events
from tests.catalogue import files
from tests.unit.test_sheets_event_sheet import text

SAID = {
    "de": ("Sofort aufhören, wenn etwas brennt", "Seite 1 von", "noch von keiner klinischen Fachperson gelesen"),
    "fr": ("Arrêter tout de suite si quelque chose brûle", "page 1 sur", "pas encore relue par un soignant"),
}  # fmt: skip
STOP = "Stop at once when anything burns, opens, weeps or bleeds"


def made(language: str) -> PdfReader:
    page = events.page([events.row(f"Athlete {n:02}", f"a{n:02}") for n in range(3)])
    with translation.override(language):
        return PdfReader(io.BytesIO(event_sheet_pdf(sheet_of(page))))


@pytest.mark.parametrize("language", ["de", "fr"])
def test_a_sheet_is_in_the_readers_language_and_says_which_it_is(language: str) -> None:
    reader = made(language)
    assert reader.trailer["/Root"]["/Lang"] == language
    told = text(reader).replace("\u00a0", " ")
    assert [said for said in SAID[language] if said not in told] == []
    assert STOP in told, "the English stands beside a caution that nobody has read in this language"
    assert len(reader.pages) == len(made("en").pages)


def test_in_english_it_is_said_once() -> None:
    assert text(made("en")).count(STOP) == 1


@pytest.mark.parametrize("language", files.LANGUAGES)
def test_the_typesetter_has_every_letter_of_the_language(language: str) -> None:
    said = " ".join(" ".join(w) if isinstance(w, tuple) else w for w in files.keyed(files.read(language)).values())
    assert [letter for letter in sorted(set(said)) if lost(letter)] == []

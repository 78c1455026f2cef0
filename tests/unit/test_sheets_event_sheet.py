"""The pre-competition sheet, read back as a PDF: tags, language, order, pages, and texts that stay texts."""

from __future__ import annotations

import hashlib
import io
import re
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest
from pypdf import PdfReader

from coaching.rules.trial_standing import OwnWord
from coaching.sheets.event_sheet import event_sheet_pdf
from coaching.sheets.small_hands import small_hands
from coaching.sheets.values import SpotOnHand
from coaching.usecases.shown_event import EventPage
from coaching.wording.event_sheet import sheet_of
from tests import event_cast as events
from tests import shown_cast as cast

MADE_ELSEWHERE = """
import django, hashlib
django.setup()
from coaching.sheets.event_sheet import event_sheet_pdf
from coaching.wording.event_sheet import sheet_of
from tests import event_cast as events
print(hashlib.sha256(event_sheet_pdf(sheet_of(events.page([events.row(), events.free()])))).hexdigest())
"""


def made(page: EventPage) -> PdfReader:
    return PdfReader(io.BytesIO(event_sheet_pdf(sheet_of(page))))


def text(reader: PdfReader) -> str:
    """All pages with every run of spaces and line ends as one space: lines break where the column ends."""
    return " ".join(" ".join(found.extract_text() for found in reader.pages).split())


def elements(node: Any) -> Iterator[Any]:
    """Every element of the tag tree, in reading order."""
    node = node.get_object()
    if isinstance(node, list):
        for kid in node:
            yield from elements(kid)
    elif isinstance(node, dict):
        if "/S" in node:
            yield node
        if "/K" in node:
            yield from elements(node["/K"])


def tags(reader: PdfReader) -> list[str]:
    return [str(found["/S"]) for found in elements(reader.trailer["/Root"]["/StructTreeRoot"])]


def squad(size: int) -> EventPage:
    rows = [events.row(f"Athlete {n:02}", f"a{n:02}") for n in range(size)]
    return events.page(rows)


def test_the_file_says_that_it_is_accessible_and_in_which_language() -> None:
    """ISO 14289-1 (PDF/UA-1): clause 5 asks for the identifier, 7.1 for tags, title and its display, 7.2 for the
    language.
    """
    reader = made(events.page([events.row()]))
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] == True  # noqa: E712 - a boolean object of the reader
    assert root["/Lang"] == "en" and root["/ViewerPreferences"]["/DisplayDocTitle"] == True  # noqa: E712
    assert "<pdfuaid:part>1</pdfuaid:part>" in root["/Metadata"].get_data().decode()
    assert reader.metadata is not None and reader.metadata.title == "Lindmark Cup, Sat 20 Mar 2027"


def test_the_tags_make_a_table_with_heads_and_drawings_with_words() -> None:
    reader = made(events.page([events.row(), events.free()]))
    found = tags(reader)
    assert found.count("/Table") == 2 and found.count("/H1") == 1 and found.count("/Figure") == 2
    assert found.index("/H1") < found.index("/Table") < found.index("/Figure")
    assert found.count("/TH") == 6 + 4  # the heads of the rows, and those of three hours of air
    alts = [f["/Alt"] for f in elements(reader.trailer["/Root"]["/StructTreeRoot"]) if f["/S"] == "/Figure"]
    assert alts == [
        "left hand: left index, tip pad: pink",
        "right hand: right middle, tip crease: split, open",
    ]


def test_the_words_stand_in_reading_order() -> None:
    said = text(made(events.page([events.row(), events.free()], not_shared=2)))
    order = [
        "Lindmark Cup, Sat 20 Mar 2027", "As known at Thu 11 Mar 2027, 07:04 (Europe/Stockholm)",
        "2 more are entered and share no level with you.", "2 to start: 1 may climb, 1 only if.",
        "Skin only, not a medical clearance.", "dew point °C 12 14 16", "athlete, call, entry", "Adaeze",
        "without crimps and pockets; the look on Mon 15 is good", "right middle, tip crease: split, open, day 4",
        "moist cover: right middle, tip crease", "look Mon 15", "Hana", "Looks, in the order of time",
        "Stop rule for everybody", "page 1 of 1",
    ]  # fmt: skip
    places = [said.index(words) for words in order]
    assert places == sorted(places)
    assert "There up to 7 °C above: damper tips." in said


@pytest.mark.parametrize(("size", "pages"), [(1, 1), (14, 1), (24, 2)])
def test_fourteen_athletes_fit_one_page_and_more_repeat_the_head(size: int, pages: int) -> None:
    """Each of them has two sites, a condition of two parts, a cover and a look."""
    reader = made(squad(size))
    assert len(reader.pages) == pages
    assert all(" ".join(p.extract_text().split()).count("athlete, call, entry") == 1 for p in reader.pages)
    assert all("As known at" in p.extract_text() for p in reader.pages)
    box = reader.pages[0].mediabox
    assert (round(float(box.width)), round(float(box.height))) == (595, 842)  # A4, ISO 216, in points


def test_what_own_trials_said_stands_beside_everybody_on_the_one_page() -> None:
    page = squad(14)
    word = OwnWord("works", page.as_of)
    said = {row.athlete.code: {"aluminium salt": word, "methenamine spray": replace(word, code="does-not")}
            for row in page.rows}  # fmt: skip
    reader = made(replace(page, own_words=said))
    assert len(reader.pages) == 1
    assert text(reader).count("own trials: aluminium salt works, methenamine spray does not") == 14


def drawn(reader: PdfReader) -> bytes:
    contents = reader.pages[0].get_contents()
    assert contents is not None
    return contents.get_data()


def test_every_athlete_has_two_lines_to_write_on() -> None:
    """A dotted line is a stroke with a dash pattern (ISO 32000-1, 8.4.3.6); a third athlete brings two more."""
    two, three = (len(re.findall(rb"\[[\d. ]+\]\s*0 d\b", drawn(made(squad(n))))) for n in (2, 3))
    assert two >= 2 * 2 and three - two == 2


def test_it_is_black_and_grey_only() -> None:
    """Every colour space has one part (ISO 32000-1, 8.6.5.5: N of a profile), and none is set in three."""
    reader = made(events.page([events.row(), events.free()]))
    spaces = reader.pages[0]["/Resources"]["/ColorSpace"]  # type: ignore[index]
    assert [space[1]["/N"] for space in spaces.values()] == [1] * len(spaces)
    assert len(spaces) >= 1 and not re.search(rb"\s(?:rg|RG|k|K)\b", drawn(reader))


@pytest.mark.parametrize("name", events.HOSTILE)
def test_names_print_as_they_are(name: str) -> None:
    reader = made(events.page([events.row(name)], event=replace(cast.CUP, name=name)))
    said = text(reader)
    assert said.count(name) >= 2 and "root:" not in said
    assert reader.metadata is not None and str(reader.metadata.title).startswith(name)


@pytest.mark.parametrize(
    "name", ["李小龍", "Zoë 😀", "a\x00b\x07c", "tall\nname", "x\u202ey", "\ud800", "Ж ש ا", "\ufffe"]
)
def test_no_letter_stops_the_sheet(name: str) -> None:
    reader = made(events.page([events.row(name, "a77")]))
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"] == True  # noqa: E712
    assert (
        ("a77" in text(reader)) == ("□" in text(reader)) == (name in ("李小龍", "Zoë 😀", "\ud800", "\ufffe"))
    )


def test_the_same_values_make_the_same_bytes_in_another_process() -> None:
    here = event_sheet_pdf(sheet_of(events.page([events.row(), events.free()])))
    env = {
        "PYTHONHASHSEED": "7",
        "DJANGO_SETTINGS_MODULE": "coaching.config.settings",
        "PYTHONPATH": ".",
        "PATH": "",
    }
    there = subprocess.run(
        [sys.executable, "-c", MADE_ELSEWHERE], capture_output=True, text=True, env=env, check=True
    )
    assert there.stdout.strip() == hashlib.sha256(here).hexdigest()


def test_the_date_of_the_file_is_that_of_what_is_known() -> None:
    reader = made(events.page([events.row()]))
    assert reader.metadata is not None and reader.metadata.creation_date == events.KNOWN_AT


def test_a_place_that_cannot_be_drawn_is_left_to_the_words() -> None:
    spots = [SpotOnHand("R-thumb-middle", "open", "split", "x"), SpotOnHand("L-ring-tip", "unheard", "", "y")]
    assert [hand["alt"] for hand in small_hands(spots, {"left": "left", "right": "right"})] == [
        "left",
        "right",
    ]


def test_what_one_sheet_takes_is_told(record_property: Any) -> None:
    """Told, not held: the machine that runs this has other work."""
    sheet = sheet_of(squad(14))
    begun = time.perf_counter()
    assert event_sheet_pdf(sheet).startswith(b"%PDF-")
    record_property("one_sheet_of_14_s", round(time.perf_counter() - begun, 3))

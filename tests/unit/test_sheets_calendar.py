"""The calendar file against a strict reading of RFC 5545 (tests/ics.py), against the library's parser, and its zones
against the zone database itself.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from icalendar import Calendar

from coaching.sheets.calendar import CalendarEntry, calendar_ics
from coaching.sheets.timezones import vtimezone
from tests import ics

CHANGED = datetime(2027, 3, 1, 8, tzinfo=UTC)
ACCENTS = "Événement à Fontainebleau, où l’été s’éteint; Straße in Zürich, Łódź, Škofja Loka, Ψηλό, 攀岩, noch länger"


def entry(summary: str = "Event", at: datetime | None = None, zone: str = "", **more: object) -> CalendarEntry:
    told = {
        "uid": "u1", "first_day": date(2027, 3, 28), "last_day": date(2027, 3, 29), "sequence": 0,
        "changed_at": CHANGED, "cancelled": False, "busy": True, **more,
    }  # fmt: skip
    return CalendarEntry(summary=summary, at=at, zone=zone, **told)  # type: ignore[arg-type]


def made(*entries: CalendarEntry, name: str = "My days") -> bytes:
    return calendar_ics(name, "About", "https://tenpads.example/", timedelta(hours=6), entries)


def test_accents_survive_folding_and_no_line_is_longer_than_75_octets() -> None:
    content = made(entry(ACCENTS), name=ACCENTS)
    assert max(map(len, content.split(b"\r\n"))) > 60, "nothing long enough to fold"
    found = ics.read(content)
    assert found.value("NAME") == ACCENTS and found.all("VEVENT")[0].value("SUMMARY") == ACCENTS
    assert str(Calendar.from_ical(content).events[0]["SUMMARY"]) == ACCENTS


PRINTABLE = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=120)


@settings(max_examples=200)
@given(PRINTABLE)
def test_any_text_comes_out_as_it_went_in(text: str) -> None:
    found = ics.read(made(entry(text))).all("VEVENT")[0]
    assert found.value("SUMMARY") == text


def test_whole_days_end_on_the_day_after_and_an_instant_names_its_zone() -> None:
    closes = entry("Entries close", datetime(2027, 3, 28, 16, tzinfo=UTC), "Europe/Stockholm", uid="u2", sequence=3,
                   cancelled=True, busy=False)  # fmt: skip
    found = ics.read(made(entry(), closes))
    days, instant = found.all("VEVENT")
    assert days.parameters("DTSTART") == {"VALUE": "DATE"}
    assert (days.value("DTSTART"), days.value("DTEND")) == ("20270328", "20270330")
    assert (days.value("STATUS"), days.value("TRANSP"), days.value("SEQUENCE")) == ("CONFIRMED", "OPAQUE", "0")
    assert instant.parameters("DTSTART") == {"TZID": "Europe/Stockholm"}
    assert instant.value("DTSTART") == "20270328T180000"  # summer time since that morning
    assert (instant.value("STATUS"), instant.value("TRANSP")) == ("CANCELLED", "TRANSPARENT")
    assert instant.value("SEQUENCE") == "3" and instant.value("CLASS") == "PRIVATE"
    assert [zone.value("TZID") for zone in found.all("VTIMEZONE")] == ["Europe/Stockholm"]
    # RFC 7986, 5.7, and RFC 5545, 3.8.7.2: without a method the stamp is when the entry last changed
    assert (found.value("REFRESH-INTERVAL"), found.parameters("REFRESH-INTERVAL")) == ("PT6H", {"VALUE": "DURATION"})
    assert days.value("DTSTAMP") == "20270301T080000Z" and "METHOD" not in {name for name, _, _ in found.properties}
    assert made(entry(), closes) == made(entry(), closes)


ZONES = ["Europe/Vienna", "America/Santiago", "Australia/Lord_Howe", "Asia/Kathmandu", "Africa/Casablanca",
         "Europe/Dublin", "Pacific/Apia"]  # fmt: skip
"""Changes by half an hour, none at all, around a feast, winter time that saves, and on both halves of the globe."""


@pytest.mark.parametrize("name", ZONES)
def test_a_zones_observances_are_those_of_the_zone_database(name: str) -> None:
    """Every hour of two years: the offset that the newest onset says is the one that the database has."""
    zone = ics.read(made(entry("x", datetime(2027, 6, 1, tzinfo=UTC), name))).all("VTIMEZONE")[0]
    onsets = sorted((_onset(part), _offset(part.value("TZOFFSETTO"))) for part in zone.inside)
    at, end = datetime(2026, 7, 1, tzinfo=UTC), datetime(2028, 6, 30, tzinfo=UTC)
    while at < end:
        told = [offset for onset, offset in onsets if onset <= at][-1]
        assert told == at.astimezone(ZoneInfo(name)).utcoffset(), at
        at += timedelta(hours=1)


def _onset(part: ics.Component) -> datetime:
    local = datetime.strptime(part.value("DTSTART"), "%Y%m%dT%H%M%S")
    return (local - _offset(part.value("TZOFFSETFROM"))).replace(tzinfo=UTC)


def _offset(text: str) -> timedelta:
    size = timedelta(hours=int(text[1:3]), minutes=int(text[3:5]))
    return -size if text[0] == "-" else size


def test_a_zone_is_told_for_the_years_that_are_needed_alone() -> None:
    assert len(vtimezone("Europe/Vienna", 2027, 2027).subcomponents) == 3


@pytest.mark.parametrize("bug", ["long", "cut letter", "bare feed", "not escaped"])
def test_planted_faults_are_found_by_the_reader(bug: str) -> None:
    whole = made(entry("A, b"))
    broken = {
        "long": whole.replace(b"DESCRIPTION:About", b"DESCRIPTION:" + b"x" * 70),
        "cut letter": whole.replace(b"DESCRIPTION:About", "DESCRIPTION:é".encode()[:-1] + b"\r\n " + b"\xa9"),
        "bare feed": whole.replace(b"DESCRIPTION:About", b"DESCRIPTION:Ab\nout"),
        "not escaped": whole.replace(b"A\\, b", b"A, b"),
    }[bug]
    assert broken != whole
    with pytest.raises((AssertionError, UnicodeDecodeError)):
        ics.read(broken)

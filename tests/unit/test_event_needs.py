"""What an event needs of somebody, who stands in for whom, and what a coach wrote after an event."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
import time_machine
from django.test import Client

from athletes.records.models import Correction, Entry, Event
from coaching.pages.event_rows import EventSeen
from coaching.wording import event_words
from tests import event_cast as events
from tests import shown_cast as cast
from tests import stored

PATH = "/events/lindmark-cup/entries"


@pytest.fixture(autouse=True)
def _now() -> Iterator[None]:
    with time_machine.travel(stored.NOW, tick=False):
        yield


class Hall:
    """Two athletes in the cup, of whom the second does not share damage."""

    def __init__(self) -> None:
        self.squad = stored.squad()
        self.rows = stored.athletes(["a01", "a02"], self.squad)
        self.event = stored.event()
        stored.conclude(self.rows, self.event)
        stored.share(self.rows[:1])
        stored.share(self.rows[1:], ("level", "checkins"))
        self.coach = Client()
        self.coach.force_login(stored.login("head-coach", self.squad))

    def send(self, **told: Any) -> int:
        stands = {"status-a01": "entered", "priority-a01": "", "seen-a01": str(self.entry().version)}
        return int(self.coach.post(PATH, {**stands, **told}).status_code)

    def entry(self, code: str = "a01") -> Entry:
        return Entry.objects.get(athlete__code=code)


@pytest.mark.django_db
def test_a_coach_says_which_sites_an_event_needs_with_a_trace() -> None:
    hall = Hall()
    assert hall.send(**{"asked-a01": "1", "needs-a01": ["L-ring-tip", "R-index-tip"]}) == 302
    assert hall.entry().needs_sites == ["L-ring-tip", "R-index-tip"]
    row = Correction.objects.get()
    assert (row.before["needs_sites"], row.after["needs_sites"]) == ([], ["L-ring-tip", "R-index-tip"])
    page = hall.coach.get(PATH).content.decode()
    assert page.count('name="needs-a01"') >= 18 and page.count("checked") == 2
    assert hall.send(**{"asked-a01": "1"}) == 302 and hall.entry().needs_sites == []


@pytest.mark.django_db
def test_what_was_not_on_the_page_is_left_as_it_is() -> None:
    hall = Hall()
    Entry.objects.filter(athlete__code="a01").update(needs_sites=["R-ring-base"])
    assert hall.send(**{"status-a01": "stand-in"}) == 302
    assert (hall.entry().status, hall.entry().needs_sites) == ("stand-in", ["R-ring-base"])
    assert 'value="R-ring-base"' in hall.coach.get(PATH).content.decode()  # what stands can be kept, listed or not


@pytest.mark.django_db
def test_of_whoever_does_not_share_damage_it_is_neither_shown_nor_taken() -> None:
    hall = Hall()
    Entry.objects.filter(athlete__code="a02").update(needs_sites=["R-ring-base"])
    page = hall.coach.get(PATH).content.decode()
    assert "needs-a02" not in page and "R-ring-base" not in page
    told = {"status-a02": "entered", "seen-a02": "1", "asked-a02": "1", "needs-a02": ["L-ring-tip"]}
    hall.send(**told)
    assert hall.entry("a02").needs_sites == ["R-ring-base"]


@pytest.mark.django_db
@pytest.mark.parametrize("site", ["X-ring-tip", "R-thumb-middle", "L-ring-back"])
def test_a_site_that_is_none_or_not_offered_is_refused(site: str) -> None:
    hall = Hall()
    assert hall.send(**{"asked-a01": "1", "needs-a01": [site]}) == 422 and hall.entry().needs_sites == []


def test_the_event_says_who_stands_in_and_for_whom_one_would_be_named() -> None:
    rows = [
        events.row("Adaeze"),
        events.row("Kwame", "a3", entries=(cast.entry("on-course", ()),)),
        events.row("Ana", "a4", "stand-in", entries=(cast.entry("on-course", ()),)),
    ]
    said = EventSeen(events.page(rows)).stand_ins
    assert said[0] == "Stand-in: Ana, on course."
    assert said[1] == "A stand-in would be named by Thu 18, 18:00 for Adaeze." and len(said) == 2
    assert EventSeen(events.page([events.free()])).stand_ins == []


def test_where_no_hour_is_known_a_stand_in_is_named_by_a_day() -> None:
    assert event_words._named_by("2027-03-18", cast.AS_OF) == "Thu 18"
    assert event_words._named_by("2027-03-18T18:00:00+01:00", cast.AS_OF) == "Thu 18, 18:00"
    assert event_words._named_by("", cast.AS_OF) == "a day not known"


@pytest.mark.django_db
def test_what_is_to_be_done_otherwise_is_kept_with_the_event_and_its_writer() -> None:
    hall = Hall()
    Event.objects.update(first_day=stored.YESTERDAY - timedelta(days=1), last_day=stored.YESTERDAY)
    told = {"kind": "review", "text": "Tape before the warm-up."}
    answer = hall.coach.post("/events/lindmark-cup/notes", told)
    assert answer.status_code == 302 and answer["Location"].endswith("/review")
    page = hall.coach.get("/events/lindmark-cup/review").content.decode()
    assert "Tape before the warm-up." in page and "11 Mar 2027" in page
    medical = Client()
    stored.share(hall.rows, ("level",), role="medical")
    medical.force_login(stored.login("medical", hall.squad))
    read = medical.get("/events/lindmark-cup/review").content.decode()
    assert "Tape before the warm-up." in read and "<textarea" not in read

"""The squad's roster, events made by hand, entries and planned sessions, through the pages and their doors."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta
from io import BytesIO
from typing import Any

import openpyxl
import pytest
import time_machine
from allauth.mfa.models import Authenticator
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from athletes.records.models import Account, Athlete, Away, Correction, Entry, Event, Membership, Session
from coaching.ledger.models import Staleness
from coaching.usecases.new_club import new_club
from tests import stored

ROSTER = "name,birth_date,timezone\nAda Ferro,2009-04-30,Europe/Vienna\nBo Lind,,\n"


@pytest.fixture(autouse=True)
def _now() -> Iterator[None]:
    with time_machine.travel(stored.NOW, tick=False):
        yield


class Hall:
    """Two athletes share with the coaches of `hall`, one shares nothing; one more is in another squad."""

    def __init__(self) -> None:
        self.squad, self.other = stored.squad(), stored.squad("tower")
        self.rows = stored.athletes(["a01", "a02", "a03"], self.squad)
        self.foreign = stored.athletes(["b01"], self.other)[0]
        for role in ("head-coach", "assistant"):
            stored.share(self.rows[:2], role=role)
        self.head, self.assistant, self.medical = (
            stored.login(role, self.squad) for role in ("head-coach", "assistant", "medical")
        )

    def names(self) -> set[str]:
        return set(Athlete.objects.filter(memberships__squad=self.squad).values_list("name", flat=True))


def client(account: Account) -> Client:
    found = Client()
    found.force_login(account)
    return found


def sent(account: Account, path: str, **values: Any) -> Any:
    return client(account).post(path, values)


def upload(account: Account, data: bytes, name: str = "list.csv") -> Any:
    return sent(account, "/squad", action="preview", file=SimpleUploadedFile(name, data))


EVENT = {
    "name": "Hall cup", "kind": "competition", "first_day": "2027-04-10", "last_day": "", "timezone": "Europe/Vienna",
    "place": "", "surface": "fresh plastic", "styles": ["crimp", "pinch"], "entry_deadline": "2027-04-08T18:00",
    "bar": "", "priority": "1", "who": ["a01", "a03"],
}  # fmt: skip
SESSION = {"who": ["a01", "a02"], "first": "2027-03-12", "last": "2027-03-18", "weekdays": ["1", "4"], "minutes": "90",
           "rpe": "6", "surface": "plastic", "action": "plan"}  # fmt: skip


@pytest.mark.django_db
@pytest.mark.parametrize("path", ["/squad", "/squad/a01", "/sessions", "/new-event", "/events/none/entries"])
def test_only_those_who_coach_find_these_pages(path: str) -> None:
    hall = Hall()
    assert client(hall.medical).get(path).status_code == 404
    assert client(stored.login("manager", hall.squad)).get(path).status_code == 404
    assert Client().get(path).status_code == 404
    assert client(hall.assistant).get(path).status_code == (200 if path in ("/sessions", "/new-event") else 404)


@pytest.mark.django_db
def test_a_new_athlete_is_in_the_list_shares_nothing_and_is_concluded_for() -> None:
    hall = Hall()
    answer = sent(hall.head, "/squad", action="add", name="Ada Ferro", birth_date="2009-04-30", timezone="Asia/Tokyo")
    assert answer.status_code == 302
    row = Athlete.objects.get(name="Ada Ferro")
    assert (row.timezone, row.birth_date, row.skin_kind) == ("Asia/Tokyo", date(2009, 4, 30), "")
    assert Staleness.objects.get(athlete_id=row.id).input_rev > 0
    page = client(hall.head).get("/squad").content.decode()
    assert "Ada Ferro" in page and f"/athletes/{row.code}" not in page
    assert client(hall.head).get(f"/athletes/{row.code}").status_code == 404


@pytest.mark.django_db
def test_the_roster_offers_an_invitation_to_whoever_has_no_login() -> None:
    hall = Hall()
    stored.login("athlete", None, hall.rows[:1])
    page = client(hall.head).get("/squad").content.decode()
    offered = re.findall(r'action="(/people)".*?name="act" value="(invite a\d+)"', page)
    assert offered == [("/people", f"invite a{row.id}") for row in hall.rows[1:]]
    made = sent(hall.head, "/people", act=offered[0][1]).context["made"]
    assert Client().get(made.removeprefix("http://testserver"))["Location"] == "/join"


@pytest.mark.django_db
def test_a_refused_athlete_loses_nothing_typed() -> None:
    hall = Hall()
    answer = sent(hall.head, "/squad", action="add", name="Ada Ferro", birth_date="never", timezone="Europe/Vienna")
    assert answer.status_code == 422 and 'value="Ada Ferro"' in answer.content.decode()
    assert "Ada Ferro" not in hall.names()


@pytest.mark.django_db
def test_a_spreadsheet_is_looked_at_then_stored_once() -> None:
    hall = Hall()
    shown = upload(hall.head, ROSTER.encode())
    assert shown.status_code == 200 and "Ada Ferro" in shown.content.decode() and "Ada Ferro" not in hall.names()
    for _ in range(2):
        assert sent(hall.head, "/squad", action="store", text=ROSTER).status_code == 302
    assert hall.names() >= {"Ada Ferro", "Bo Lind"} and Athlete.objects.filter(name="Ada Ferro").count() == 1


@pytest.mark.django_db
def test_every_bad_row_is_named_by_its_number_and_nothing_is_stored() -> None:
    hall = Hall()
    bad = ROSTER + "Cy Moro,30.4.2009,\n,2010-01-01,\nDi Sato,2010-01-01,Mars/Base\n"
    said = upload(hall.head, bad.encode())
    assert said.status_code == 422
    text = said.content.decode()
    assert all(f"row {n}" in text for n in (4, 5, 6)) and "row 2" not in text
    assert sent(hall.head, "/squad", action="store", text=bad).status_code == 422
    assert "Ada Ferro" not in hall.names()


@pytest.mark.django_db
def test_workbooks_and_semicolons_are_read_and_rubbish_is_told() -> None:
    hall = Hall()
    book = openpyxl.Workbook()
    for row in (["name", "birth_date", "timezone"], ["Ada Ferro", date(2009, 4, 30), "Europe/Vienna"], [None] * 3):
        book.active.append(row)
    kept = BytesIO()
    book.save(kept)
    assert "2009-04-30" in upload(hall.head, kept.getvalue(), "list.xlsx").content.decode()
    assert "Bo Lind" in upload(hall.head, ROSTER.replace(",", ";").encode("utf-8-sig")).content.decode()
    for rubbish in (b"PK\x03\x04 not a workbook", b"\xff\xfe\x00name", b"", b"x" * 1_000_100):
        assert upload(hall.head, rubbish).status_code == 422
    assert sent(hall.head, "/squad", action="preview").status_code == 422


@pytest.mark.django_db
def test_a_profile_is_put_right_with_a_trace() -> None:
    hall = Hall()
    told = {"name": "Athlete a01", "birth_date": "2003-05-15", "timezone": "UTC", "dominant_hand": "left"}
    assert sent(hall.head, "/squad/a01", **told).status_code == 302
    row = Athlete.objects.get(code="a01")
    assert (row.birth_date, row.dominant_hand) == (date(2003, 5, 15), "left")
    assert Correction.objects.get(table="athlete").before["birth_date"] == "2003-05-14"
    assert sent(hall.head, "/squad/b01", **told).status_code == 404


@pytest.mark.django_db
def test_somebody_taken_out_is_not_seen_and_can_be_put_back() -> None:
    hall = Hall()
    answer = sent(hall.head, "/squad", action="out", athlete="a01")
    undo = answer.context["gone"]["undo"]
    assert not Membership.objects.filter(athlete=hall.rows[0]).exists()
    assert client(hall.head).get("/athletes/a01").status_code == 404
    stranger = stored.login("head-coach", hall.other)
    assert sent(stranger, "/squad", action="back", undo=undo).status_code == 404
    assert sent(hall.head, "/squad", action="back", undo=undo + "x").status_code == 302
    assert not Membership.objects.filter(athlete=hall.rows[0]).exists()
    sent(hall.head, "/squad", action="back", undo=undo)
    assert Membership.objects.filter(athlete=hall.rows[0], squad=hall.squad).exists()
    assert sent(hall.head, "/squad", action="out", athlete="b01").status_code == 404


@pytest.mark.django_db
def test_an_event_is_made_with_whoever_goes_shared_or_not() -> None:
    hall = Hall()
    answer = sent(hall.assistant, "/new-event", **EVENT)
    event = Event.objects.get(name="Hall cup")
    assert answer.url == f"/events/{event.code}/entries"
    assert (event.first_day, event.last_day, event.styles) == (date(2027, 4, 10),) * 2 + (["crimp", "pinch"],)
    assert event.entry_deadline.isoformat() == "2027-04-08T16:00:00+00:00"  # 18:00 in Vienna's summer time
    assert set(event.entries.values_list("athlete__code", "priority")) == {("a01", 1), ("a03", 1)}
    assert Staleness.objects.filter(athlete_id=hall.rows[0].id).exists()


@pytest.mark.django_db
@pytest.mark.parametrize(
    "changes",
    [{"who": []}, {"first_day": "2027-03-01"}, {"last_day": "2027-04-01"}, {"entry_deadline": "2027-05-01T10:00"},
     {"bar": "140"}, {"name": ""}, {"timezone": "Mars/Base"}, {"who": ["b01"]}, {"place": "p-nowhere"}],
)  # fmt: skip
def test_an_event_that_cannot_be_is_refused_with_what_was_typed(changes: dict[str, Any]) -> None:
    hall = Hall()
    answer = sent(hall.head, "/new-event", **{**EVENT, **changes})
    assert answer.status_code == 422 and not Event.objects.exists()
    assert "Hall cup" in answer.content.decode() or changes == {"name": ""}


@pytest.mark.django_db
def test_an_event_of_which_nothing_is_shared_is_still_found() -> None:
    hall = Hall()
    sent(hall.head, "/new-event", **{**EVENT, "who": ["a03"]})
    code = Event.objects.get().code
    assert f"/events/{code}/entries" in client(hall.head).get("/events").content.decode()
    assert client(hall.head).get(f"/events/{code}/entries").status_code == 200
    assert client(stored.login("head-coach", hall.other)).get(f"/events/{code}/entries").status_code == 404


@pytest.mark.django_db
def test_entries_change_under_the_version_that_was_seen() -> None:
    hall = Hall()
    sent(hall.head, "/new-event", **EVENT)
    path = f"/events/{Event.objects.get().code}/entries"
    seen = {
        "status-a01": "stand-in", "priority-a01": "2", "seen-a01": "1", "status-a02": "entered", "priority-a02": "",
        "seen-a02": "0", "status-a03": "entered", "priority-a03": "1", "seen-a03": "1",
    }  # fmt: skip
    assert sent(hall.head, path, **seen).status_code == 302
    assert set(Entry.objects.values_list("athlete__code", "status", "priority")) == {
        ("a01", "stand-in", 2), ("a02", "entered", None), ("a03", "entered", 1),
    }  # fmt: skip
    late = {**seen, "status-a01": "withdrawn"}
    assert sent(hall.assistant, path, **late).status_code == 422
    assert Entry.objects.get(athlete__code="a01").status == "stand-in"


@pytest.mark.django_db
def test_a_session_is_planned_for_several_on_the_weekdays_chosen() -> None:
    hall = Hall()
    assert sent(hall.head, "/sessions", **SESSION).status_code == 302
    days = set(Session.objects.values_list("athlete__code", "local_date", "minutes", "planned"))
    assert days == {(code, day, 90.0, True) for code in ("a01", "a02")
                    for day in (date(2027, 3, 12), date(2027, 3, 16))}  # fmt: skip
    sent(hall.head, "/sessions", **{**SESSION, "minutes": "60", "who": ["a01"]})
    assert set(Session.objects.filter(athlete__code="a01").values_list("minutes", flat=True)) == {60.0}
    assert Correction.objects.filter(table="session").count() == 2
    sent(hall.head, "/sessions", **{**SESSION, "action": "off"})
    assert set(Session.objects.values_list("minutes", flat=True)) == {0.0}


@pytest.mark.django_db
@pytest.mark.parametrize(
    "changes", [{"who": ["a03"]}, {"who": ["b01"]}, {"who": []}, {"first": "2027-03-20"}, {"last": "2029-01-01"},
                {"weekdays": ["6"], "last": ""}, {"minutes": "-1"}]
)  # fmt: skip
def test_a_session_that_cannot_be_planned_is_refused(changes: dict[str, Any]) -> None:
    hall = Hall()
    assert sent(hall.head, "/sessions", **{**SESSION, **changes}).status_code == 422
    assert not Session.objects.exists()


@pytest.mark.django_db
def test_the_fortnight_shows_absence_names_a_clash_and_hides_who_shares_nothing() -> None:
    hall = Hall()
    day = stored.TODAY + timedelta(days=1)
    for row in (hall.rows[0], hall.rows[2]):
        Session.objects.create(athlete=row, local_date=day, planned=True, minutes=77.0)
        Away.objects.create(athlete=row, first_day=day, last_day=day, kind="travel")
    page = client(hall.head).get("/sessions").content.decode()
    assert page.count("77 min") == 1 and page.count("a session is planned, and they are away (travel)") == 1
    assert "Not shared: Athlete a03." in page
    assert client(hall.head).get("/sessions?from=nonsense").status_code == 200


@pytest.mark.django_db
def test_everybody_is_one_tick() -> None:
    hall = Hall()
    sent(hall.head, "/sessions", **{**SESSION, "who": [], "everybody": "on", "last": "", "weekdays": []})
    assert set(Session.objects.values_list("athlete__code", flat=True)) == {"a01", "a02"}


@pytest.mark.django_db
def test_the_first_club_begins_with_nobody_and_a_coach_who_signs_in() -> None:
    new_club("Chalk club", "Youth", "Coach One", "one", "a wall of granite and rain")
    coach = Account.objects.get(username="one")
    assert coach.check_password("a wall of granite and rain")
    assert client(coach).get("/squad")["Location"] == "/account/second-factor"
    Authenticator.objects.create(user=coach, type="totp", data={"secret": ""})
    page = client(coach).get("/squad")
    assert page.status_code == 200 and "Nobody is in Youth yet." in page.content.decode()
    assert "/squad" in client(coach).get("/morning").content.decode()

"""What each list and each single thing of the interface shows, by the page, cut to what is shared."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise
from typing import Any

import pytest
import time_machine
from django.db import OperationalError
from django.test import Client

from athletes.records import choices
from athletes.records.models import Athlete, Care, CheckIn, Damage, Decision, Event, Look, Session, Sighting
from coaching.usecases import list_facts, sign_in
from tests import stored

pytestmark = pytest.mark.django_db
SECRET = "pinned under the campus board"
NEEDS = {
    "check-ins": "checkins", "sessions": "checkins", "care": "checkins", "sign-offs": "checkins", "damage": "damage",
    "damage/d1/looks": "damage", "sightings": "damage", "decisions": "level", "entries": "level",
}  # fmt: skip


@pytest.fixture(autouse=True)
def _now() -> Any:
    with time_machine.travel(stored.NOW, tick=False):
        yield


def coach(*classes: str) -> Client:
    squad = stored.squad()
    (row,) = stored.athletes(["a1"], squad)
    stored.share([row], classes)
    event = stored.event()
    stored.conclude([row], event)
    told(row, event)
    client = Client()
    client.force_login(stored.login("head-coach", squad))
    return client


def told(row: Athlete, event: Event) -> None:
    """One of everything, each with a note and a site where it can have one."""
    day = {"athlete": row, "local_date": "2027-03-10"}
    CheckIn.objects.create(**day, reserve=4, note=SECRET, marks=[["R-ring-tip", "pink"]])
    Session.objects.create(**day, planned=False, minutes=80)
    Care.objects.create(**day, status="done", verb="soften", form="wax balm", product_note=SECRET, sites=["R-ring-tip"])
    Care.objects.create(**day, status="done", verb="mend", form="clip edges", sites=["R-ring-tip"])
    Sighting.objects.create(**day, by="coach", marks=[["R-ring-tip", "pink"]], note=SECRET)
    damage = Damage.objects.create(
        athlete=row, code="d1", site="R-ring-tip", kind="cut", noticed_on="2027-03-08", cause=SECRET
    )
    Look.objects.create(damage=damage, local_date="2027-03-10", stage="closing")
    made = {"athlete": row, "event": event, "answer": "decline", "why": SECRET, "made_at": stored.NOW}
    Decision.objects.create(kind="taped-try", site="R-ring-tip", **made)
    Decision.objects.create(kind="entry", **made)
    Decision.objects.create(kind="even-last", **made)


def get(client: Client, path: str) -> Any:
    return client.get(f"/api/v1/athletes/a1/{path}")


@pytest.mark.parametrize("path", NEEDS)
def test_each_list_needs_its_class_and_answers_as_for_nobody_without(path: str) -> None:
    with_it, without = coach(*choices.DATA_CLASSES), None
    assert get(with_it, path).status_code == 200
    stored.withdraw(data_class=NEEDS[path])
    without = get(with_it, path)
    nobody = with_it.get(f"/api/v1/athletes/zz9/{path}")
    assert (without.status_code, without.content) == (404, nobody.content)


@pytest.mark.parametrize("path", NEEDS)
def test_a_note_leaves_the_house_only_where_notes_are_shared(path: str) -> None:
    client = coach(*choices.DATA_CLASSES)
    told_with = SECRET in get(client, path).content.decode()
    stored.withdraw(data_class="notes")
    assert SECRET not in get(client, path).content.decode()
    assert told_with is (path not in {"sessions", "sign-offs", "damage/d1/looks", "entries"})


@pytest.mark.parametrize("path", sorted(path for path, needed in NEEDS.items() if needed != "damage"))
def test_a_site_leaves_the_house_only_where_damage_is_shared(path: str) -> None:
    client = coach("level", "checkins", "notes")
    found = get(client, path)
    assert found.status_code == 200 and b"R-ring-tip" not in found.content and b"mend" not in found.content


def test_decisions_are_cut_by_the_class_of_their_kind() -> None:
    client = coach("level")
    kinds = lambda: {row["kind"] for row in get(client, "decisions").json()["results"]}  # noqa: E731
    assert kinds() == {"entry"}
    stored.share(Athlete.objects.all(), ["damage"])
    assert kinds() == {"entry", "taped-try"}
    stored.withdraw(data_class="damage")
    stored.share(Athlete.objects.all(), ["checkins"])
    assert kinds() == {"entry", "even-last"}


def test_single_things_are_what_was_told() -> None:
    client = coach(*choices.DATA_CLASSES)
    look = Look.objects.get()
    assert get(client, f"looks/{look.pk}").json()["stage"] == "closing"
    event = client.get("/api/v1/events/lindmark-cup").json()
    assert (event["first_day"], event["bar"]) == ("2027-03-20", None)
    entry = client.get("/api/v1/events/lindmark-cup/entries/a1").json()
    assert (entry["athlete_id"], entry["status"]) == ("a1", None)
    athlete = client.get("/api/v1/athletes/a1").json()
    assert (athlete["name"], athlete["shared"]) == ("Athlete a1", sorted(choices.DATA_CLASSES))


@pytest.mark.parametrize("key", ["0", "-1", "x", "9" * 18, "9" * 40, "1.0", "%00", "١"])
def test_what_is_no_key_of_a_look_is_not_found(key: str) -> None:
    assert get(coach(*choices.DATA_CLASSES), f"looks/{key}").status_code == 404


@pytest.mark.parametrize("path", ["athletes/a%001", "events/%00", "athletes/%ED%A0%80", "athletes/" + "a" * 5000])
def test_what_no_name_can_be_is_not_found(path: str) -> None:
    assert coach("level").get(f"/api/v1/{path}").status_code == 404


def test_events_are_those_of_athletes_who_share_a_level() -> None:
    client = coach("level")
    Event.objects.create(
        code="far", name="Far", kind="trip", first_day="2027-05-01", last_day="2027-05-02", timezone="UTC"
    )
    codes = lambda: [row["event_id"] for row in client.get("/api/v1/events").json()["results"]]  # noqa: E731
    assert codes() == ["lindmark-cup"] and client.get("/api/v1/events/far").status_code == 404
    stored.withdraw()
    assert codes() == []
    for path in ("lindmark-cup", "lindmark-cup/entries", "lindmark-cup/entries/a1"):
        found, nobody = (client.get(f"/api/v1/events/{p}") for p in (path, path.replace("lindmark-cup", "no")))
        assert (found.status_code, found.content) == (404, nobody.content)


def test_deadlines_of_all_athletes_are_for_coaches_and_cut() -> None:
    client = coach(*choices.DATA_CLASSES)
    found = client.get("/api/v1/deadlines").json()["results"]
    assert [(d["athlete_id"], d["deadline"]["kind"]) for d in found] == [
        ("a1", "look"), ("a1", "taped-try"), ("a1", "entry"),
    ]  # fmt: skip
    stored.withdraw(data_class__in=set(choices.DATA_CLASSES) - {"level"})
    assert [d["deadline"]["kind"] for d in client.get("/api/v1/deadlines").json()["results"]] == ["entry"]
    client.force_login(stored.login("athlete", None, list(Athlete.objects.all())))
    assert client.get("/api/v1/deadlines").status_code == 404


def many(count: int) -> Client:
    """A coach of one athlete with so many check-ins and sessions, some of them on one day."""
    client = coach("level", "checkins")
    row = Athlete.objects.get()
    CheckIn.objects.all().delete()
    Session.objects.all().delete()
    first = date(2026, 1, 1)
    CheckIn.objects.bulk_create([CheckIn(athlete=row, local_date=first + timedelta(days=n)) for n in range(count)])
    days = [first + timedelta(days=n // 5) for n in range(count)]
    told = {"athlete": row, "planned": False}
    Session.objects.bulk_create([Session(**told, local_date=d, minutes=n) for n, d in enumerate(days)])
    return client


def walked(client: Client, path: str) -> tuple[list[Any], int]:
    """Every row from page to page, by the link, which is that of the body; and how many pages there were."""
    rows, count, following = [], 0, path
    while following:
        answer = client.get(following)
        body = answer.json()
        rows, count, following = rows + body["results"], count + 1, body["next"]
        assert answer.get("Link") == (f'<{following}>; rel="next"' if following else None)
    return rows, count


@pytest.mark.parametrize("limit", [1, 7, 23, 24, 200])
def test_from_page_to_page_every_row_comes_once_and_in_order(limit: int) -> None:
    client = many(23)
    rows, pages = walked(client, f"/api/v1/athletes/a1/sessions?limit={limit}")
    assert sorted(row["minutes"] for row in rows) == list(range(23)) and pages == -(-23 // limit)
    assert all((a["local_date"], a["minutes"]) > (b["local_date"], b["minutes"]) for a, b in pairwise(rows))


def test_a_row_that_comes_in_between_shifts_nothing() -> None:
    client = many(10)
    first = client.get("/api/v1/athletes/a1/check-ins?limit=5").json()
    CheckIn.objects.create(athlete=Athlete.objects.get(), local_date="2027-03-11")
    rest, _ = walked(client, first["next"])
    days = [row["local_date"] for row in first["results"] + rest]
    assert len(days) == 10 and days == sorted(set(days), reverse=True)


@pytest.mark.parametrize("path", ["athletes", "deadlines", "events/lindmark-cup/entries"])
def test_lists_over_athletes_come_by_the_page_too(path: str) -> None:
    squad = stored.squad()
    rows = stored.athletes([f"a{n}" for n in range(7)], squad)
    Athlete.objects.update(name="Same")
    stored.share(rows)
    stored.conclude(rows, stored.event())
    client = Client()
    client.force_login(stored.login("head-coach", squad))
    whole = client.get(f"/api/v1/{path}?limit=200").json()["results"]
    assert walked(client, f"/api/v1/{path}?limit=3")[0] == whole and len(whole) >= 7


CURSORS = ["x", "W10=", "WzEsMl0=", "e30=", "bnVsbA==", "WyIyMDI2LTAxLTAxIiwiYSJd", "%00", "%ED%A0%80", "é", "x" * 3000]
BAD = [
    *((f"limit={n}", "limit") for n in ("0", "201", "-1", "x", "1.5", "", "9" * 30, "%00", "١")),
    *((f"cursor={c}", "cursor") for c in CURSORS),
    ("page=2", "page"),
    ("%00=1", "\0"),
]


@pytest.mark.parametrize(("query", "parameter"), BAD, ids=[q[:30] for q, _ in BAD])
def test_a_query_that_cannot_be_read_names_its_parameter(query: str, parameter: str) -> None:
    answer = get(many(3), f"check-ins?{query}")
    assert (answer.status_code, answer["Content-Type"]) == (400, "application/problem+json")
    assert answer.json()["errors"][0]["parameter"] == parameter


def test_a_database_that_is_away_is_said_to_be(monkeypatch: pytest.MonkeyPatch) -> None:
    def away(*args: Any) -> None:
        raise OperationalError("server closed the connection unexpectedly")

    client = coach("level")
    client.raise_request_exception = False
    monkeypatch.setattr(list_facts, "athletes", away)
    answer = client.get("/api/v1/athletes")
    assert (answer.status_code, answer["Retry-After"], answer.json()["status"]) == (503, "5", 503)
    monkeypatch.setattr(sign_in, "viewer", away)
    answer = client.get("/api/v1/athletes")
    assert (answer.status_code, answer["Retry-After"], answer["Content-Type"]) == (503, "5", "application/problem+json")
    assert client.get("/morning").status_code == 503


def test_the_viewer_of_the_description_names_no_other_host() -> None:
    client = coach("level")
    page, script = client.get("/api/v1/docs"), client.get("/api/v1/docs?script=")
    assert page.status_code == script.status_code == 200
    assert b"//" not in page.content and b"://" not in script.content
    assert b'"validatorUrl": null' in script.content
    assert "script-src 'self'" in page["Content-Security-Policy"].replace("; ", ";").split(";")
    assert b"<style" not in page.content and "unsafe" not in page["Content-Security-Policy"]

"""One's own record as PDF: what stands in it, whose it is, and that it can be read aloud (PDF/UA-1, ISO 14289-1)."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from typing import Any

import pytest
import time_machine
from django.test import Client
from pypdf import PdfReader

from athletes.records.models import Care, CheckIn, Damage, Look, Session
from coaching.usecases import limits
from tests import stored

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def clock() -> Iterator[None]:
    with time_machine.travel(stored.NOW, tick=False):
        yield


def athlete(born: Any = stored.ADULT) -> tuple[Client, Any]:
    squad = stored.squad()
    row, other = stored.athletes(["a1", "a2"], squad, born)
    stored.share([row])
    stored.login("head-coach", squad)
    day = {"athlete": row, "local_date": stored.YESTERDAY}
    CheckIn.objects.create(**day, reserve=6, dampness=3, marks=[["L-index-tip", "pink"]], note="böse Kante, naïve")
    CheckIn.objects.create(athlete=other, local_date=stored.YESTERDAY, reserve=1, note="somebody else’s words")
    Session.objects.create(**day, planned=False, minutes=75, surface="plastic", rpe=6, skin_limited=False)
    care = {"status": "done", "verb": "soften", "form": "wax balm", "sites": ["L-index-tip"]}
    Care.objects.create(**day, **care, product_note="own jar")
    told = {"site": "R-ring-middle", "kind": "split", "noticed_on": stored.YESTERDAY, "depth": "deep"}
    damage = Damage.objects.create(athlete=row, code="d1", **told)
    Look.objects.create(damage=damage, local_date=stored.TODAY, stage="closing")
    client = Client()
    client.force_login(stored.login("athlete", squad, [row]))
    return client, row


def read(client: Client, query: str = "") -> tuple[PdfReader, str]:
    answer = client.get(f"/me/record.pdf{query}")
    assert answer.status_code == 200 and answer["Content-Type"] == "application/pdf", answer.status_code
    assert "no-store" in answer["Cache-Control"]
    pdf = PdfReader(BytesIO(answer.content))
    return pdf, " ".join(" ".join(page.extract_text() for page in pdf.pages).split())


def test_it_says_in_plain_words_what_was_told_and_who_may_see_it() -> None:
    client, _ = athlete()
    pdf, text = read(client)
    for said in ("My record: Athlete a1", "Wed 10 Mar", "plastic", "75", "wax balm", "own jar", "closing", "deep",
                 "böse Kante, naïve", "pink", "Head coach", "shared until"):  # fmt: skip
        assert said in text, said
    assert "somebody else" not in text and "a2" not in text
    codes = ("L-index", "R-ring", "skin_limited", "head-coach", "None", "True")
    assert not [code for code in codes if code in text]
    assert pdf.trailer["/Root"]["/MarkInfo"]["/Marked"] and pdf.trailer["/Root"]["/Lang"] == "en"
    assert b"pdfuaid:part" in _xmp(pdf)


def _xmp(pdf: PdfReader) -> bytes:
    return bytes(pdf.trailer["/Root"]["/Metadata"].get_data())


def test_an_empty_record_says_so_and_is_one_page() -> None:
    squad = stored.squad()
    row = stored.athletes(["a1"], squad)
    client = Client()
    client.force_login(stored.login("athlete", squad, row))
    pdf, text = read(client)
    assert len(pdf.pages) == 1 and "0 check-ins" in text and "None told." in text and "Nobody" in text


def test_ninety_mornings_are_all_there_and_the_older_are_left_to_the_file() -> None:
    client, row = athlete()
    days = [stored.YESTERDAY.fromordinal(stored.YESTERDAY.toordinal() - n) for n in range(1, 120)]
    told = [CheckIn(athlete=row, local_date=day, reserve=4, note=f"n{n:03}") for n, day in enumerate(days)]
    CheckIn.objects.bulk_create(told)
    _, text = read(client)
    assert [f"n{n:03}" in text for n in range(119)] == [True] * 83 + [False] * 36  # 9 March to 17 December


def test_a_guardian_reads_it_of_a_minor_and_nobody_else_finds_it() -> None:
    client, row = athlete(stored.MINOR)
    guardian, coach, mate = Client(), Client(), Client()
    other = row.memberships.get().squad.memberships.exclude(athlete=row).get().athlete
    guardian.force_login(stored.login("guardian", None, [row]))
    coach.force_login(stored.login("head-coach", row.memberships.get().squad))
    mate.force_login(stored.login("athlete", None, [other]))
    assert "everything, until you are 18" in read(client)[1]
    assert "My record: Athlete a1" in read(guardian, "?for=a1")[1]
    assert coach.get("/me/record.pdf?for=a1").status_code == 404
    assert mate.get("/me/record.pdf?for=a1").status_code == 404 and Client().get("/me/record.pdf").status_code == 404


def test_copies_are_counted() -> None:
    client, _ = athlete()
    found = [client.get("/me/record.pdf").status_code for _ in range(limits.EXPORT.most + 1)]
    assert found == [200] * limits.EXPORT.most + [429]


def test_who_sees_what_says_that_picking_is_kept_apart_and_where_a_coach_picks_no_answer_stands() -> None:
    """The sentence, and that it is true: the page on which people are entered, while everything is shared."""
    client, row = athlete()
    event = stored.event()
    stored.conclude([row], event)
    assert "Picking a team is kept apart." in client.get("/me/who-sees").content.decode()
    coach = Client()
    coach.force_login(stored.login("head-coach", row.memberships.get().squad))
    page = coach.get(f"/events/{event.code}/entries")
    text = page.content.decode().partition("<main")[2].partition("</main>")[0]
    assert page.status_code == 200 and "Athlete a1" in text
    assert not [said for said in ("böse", "pink", "split", "in 100", "reserve") if said in text]


@pytest.mark.parametrize("guarded", [True, False])
def test_somebody_under_18_is_told_what_a_guardian_sees(guarded: bool) -> None:
    client, row = athlete(stored.MINOR)
    if guarded:
        stored.login("guardian", None, [row])
    text = client.get("/me/who-sees").content.decode()
    assert "of yours until you are 18" in text and ("No guardian signs in" in text) is not guarded

"""Where a trial's result is read: the coach's page of the athlete, an event's sheet, one's own record; by consent."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from io import BytesIO
from typing import Any

import pytest
import time_machine
from django.test import Client
from pypdf import PdfReader

from athletes.records.models import Account, Athlete, Entry, Event, Trial, TrialEnd
from coaching.ledger import staleness
from coaching.usecases import recompute
from tests import stored

pytestmark = pytest.mark.django_db
DAY = stored.TODAY
DONE = "Does aluminium salt lower dampness?"


def trial(athlete: Athlete, form: str, verdict: str = "", ago: int = 120, outcome: str = "dampness") -> Trial:
    """A trial of six pairs; running where there is no verdict."""
    first = DAY - timedelta(days=ago)
    row = Trial.objects.create(
        athlete=athlete, verb="dry" if "cream" not in form else "soften", form=form, outcome=outcome,
        lower_is_better=True, hands=False, hidden=False, pairs=6, skip_days=3, read_days=5, first_day=first,
        last_day=first + timedelta(days=95), starts=list(range(0, 96, 8)), seed=7, pair_sd=1.0, shows=2.0,
        model="2026.6", made_at=stored.NOW,
    )  # fmt: skip
    if verdict:
        result = {"pairs": 6, "effect": -2.0, "low": -3.0, "high": -1.0, "level": 0.96875, "p": 0.03125}
        TrialEnd.objects.create(
            athlete=athlete, trial=row, local_date=first + timedelta(days=96), why="over", drawn="CUCUCU",
            verdict=verdict, result=result, made_at=stored.NOW,
        )  # fmt: skip
    return row


@pytest.fixture
def club() -> Iterator[dict[str, Account]]:
    with time_machine.travel(stored.NOW, tick=False):
        squad = stored.squad()
        rows = stored.athletes(["a1", "a2", "a3"], squad)
        stored.share(rows)
        for row in rows[:2]:
            trial(row, "aluminium salt", "works")
        trial(rows[0], "wax balm", ago=20, outcome="sting")
        trial(rows[0], "methenamine spray", "does-not", 230)
        event = Event.objects.create(
            code="cup", name="Cup", kind="competition", first_day=DAY + timedelta(days=9),
            last_day=DAY + timedelta(days=10), timezone="Europe/Vienna",
        )  # fmt: skip
        for row in rows:
            Entry.objects.create(event=event, athlete=row, status="entered")
        stored.withdraw(data_class="checkins", athlete=rows[1])
        staleness.raise_for([row.id for row in rows], stored.NOW)
        recompute.drain_these([row.id for row in rows])
        found = {"coach": stored.login("head-coach", squad), "athlete": stored.login("athlete", squad, rows[:1])}
        yield found


def got(who: Account, address: str) -> Any:
    client = Client()
    client.force_login(who)
    answer = client.get(address)
    assert answer.status_code == 200, answer.status_code
    return answer


def pdf(who: Account, address: str) -> tuple[PdfReader, str]:
    reader = PdfReader(BytesIO(got(who, address).content))
    return reader, " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def test_the_coach_reads_it_on_the_athletes_page_where_check_ins_are_shared(club: dict[str, Account]) -> None:
    html = got(club["coach"], "/athletes/a1").content.decode()
    assert "Their own trials" in html and DONE in html and "works for them" in html
    assert "Does methenamine spray lower dampness?" in html and "does not work for them" in html
    assert "Does wax balm lower sting?" in html and "running" in html
    assert "Aluminium salt, dampness: works for them" in html
    for code in ("a2", "a3"):  # one shares no check-ins, the other tried nothing
        html = got(club["coach"], f"/athletes/{code}").content.decode()
        assert "Their own trials" not in html and DONE not in html


def test_the_sheet_of_an_event_says_it_beside_the_athlete_and_stays_one_page(club: dict[str, Account]) -> None:
    reader, text = pdf(club["coach"], "/events/cup/sheet.pdf")
    assert len(reader.pages) == 1
    assert text.count("own trials: aluminium salt works, methenamine spray does not") == 1  # a2's is not shared
    assert text.count("own trials") == 1 and "wax balm" not in text


def test_the_athletes_own_record_holds_every_trial_and_stays_one_page(club: dict[str, Account]) -> None:
    reader, text = pdf(club["athlete"], "/me/record.pdf")
    assert len(reader.pages) == 1 and "Your own trials" in text
    for said in (DONE, "Works for me. With it, dampness was lower by 2.0 points.", "running", "Does not work for me"):
        assert said in text, said


def test_a_contradiction_is_said_on_the_sheet(club: dict[str, Account]) -> None:
    trial(Athlete.objects.get(code="a1"), "aluminium salt", "does-not", 110)
    _, text = pdf(club["coach"], "/events/cup/sheet.pdf")
    assert "own trials: aluminium salt open again, methenamine" in text and "aluminium salt works" not in text
    html = got(club["coach"], "/athletes/a1").content.decode()
    assert "open again: two trials disagree" in html

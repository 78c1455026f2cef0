"""My hands: days run to the look that found the damage sound, and nothing is said that was not told or shared."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

import pytest
import time_machine
from django.test import Client

from athletes.records.models import Account, Athlete, Care, CheckIn, Damage, Look, Session
from coaching.usecases.my_hands import my_hands
from coaching.usecases.sign_in import viewer
from tests import stored

pytestmark = pytest.mark.django_db
PAGE = "/me/hands"
DAY = stored.TODAY


@pytest.fixture
def people() -> Iterator[dict[str, Account]]:
    with time_machine.travel(stored.NOW, tick=False):
        squad = stored.squad()
        rows = stored.athletes(["a1", "a2"], squad)
        minor = stored.athletes(["m1"], squad, stored.MINOR)
        stored.share(rows)
        found = {"athlete": stored.login("athlete", squad, rows[:1]), "other": stored.login("athlete", squad, rows[1:])}
        found["guardian"] = stored.login("guardian", squad, minor)
        found["head-coach"] = stored.login("head-coach", squad)
        yield found


def damage(site: str, noticed: date, looks: dict[int, str], kind: str = "split", code: str = "a1") -> None:
    """One episode; looks are stages by days since it was noticed."""
    athlete = Athlete.objects.get(code=code)
    row = Damage.objects.create(
        athlete=athlete, code=f"{site}-{noticed}", site=site, kind=kind, noticed_on=noticed
    )  # fmt: skip
    for days, stage in looks.items():
        Look.objects.create(damage=row, local_date=noticed + timedelta(days=days), stage=stage)


def page(who: Account, query: str = "") -> str:
    client = Client()
    client.force_login(who)
    answer = client.get(f"{PAGE}{query}")
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_last_three_of_a_kind_are_told_in_days(people: dict[str, Account]) -> None:
    for ago, took in ((200, 30), (120, 16), (80, 12), (40, 9)):
        looks = {took - 2: "thinned", took: "sound", took + 5: "sound"}
        damage("R-middle-tip-crease", DAY - timedelta(days=ago), looks)
    html = page(people["athlete"])
    assert "Split in a crease: the last 3 took 9, 12 and 16 days" in html
    assert "9 days to the look that found it sound, on day 7 not yet" in html


def test_sound_once_and_open_again_is_not_over(people: dict[str, Account]) -> None:
    damage("L-ring-tip-crease", DAY - timedelta(days=20), {8: "sound", 12: "open"})
    html = page(people["athlete"])
    assert "none seen sound yet" in html
    assert "Left ring, tip crease, split: noticed" in html and "open at the last look" in html


def test_looks_to_come_are_not_read(people: dict[str, Account]) -> None:
    damage("L-ring-tip-crease", DAY - timedelta(days=3), {1: "open", 9: "sound"})
    damage("R-ring-tip-crease", DAY + timedelta(days=1), {2: "open"})
    html = page(people["athlete"])
    assert "none seen sound yet" in html and "Right ring" not in html.split("</svg>")[-1]


def test_nothing_told_says_so(people: dict[str, Account]) -> None:
    html = page(people["athlete"])
    assert "Nothing has been told yet." in html and "no morning has been answered" in html


def test_what_is_believed_moves_with_the_answers_and_names_an_agent_only_where_one_was_told_of(
    people: dict[str, Account],
) -> None:
    athlete = Athlete.objects.get(code="a1")
    for ago in range(40):
        day = DAY - timedelta(days=ago)
        CheckIn.objects.create(athlete=athlete, local_date=day, reserve=8, dampness=2, rating_step=2)
    Session.objects.create(athlete=athlete, local_date=DAY, planned=False, ordinal=1, skin_limited=False)
    html = page(people["athlete"])
    assert "This rests on 40 mornings and 1 answer to" in html and "drying agents do nothing" not in html
    with_low = my_hands(viewer(people["athlete"]))
    CheckIn.objects.filter(athlete=athlete, local_date__gt=DAY - timedelta(days=20)).update(reserve=2)
    Care.objects.create(
        athlete=athlete, local_date=DAY, verb="dry", form="methenamine spray", status="done", sites=[]
    )  # fmt: skip
    lower = my_hands(viewer(people["athlete"]))
    assert with_low.believed is not None and lower.believed is not None
    assert lower.believed.reserve[1] < with_low.believed.reserve[0]
    assert (with_low.believed.no_response_frac, lower.believed.no_response_frac is None) == (None, False)
    assert "drying agents do nothing" in page(people["athlete"])


def test_a_guardian_reads_what_is_shared_and_nobody_else_anything(people: dict[str, Account]) -> None:
    damage("L-ring-tip-crease", DAY - timedelta(days=3), {1: "open"}, code="m1")
    assert "Left ring" in page(people["guardian"])
    for role in ("other", "head-coach"):
        client = Client()
        client.force_login(people[role])
        assert [client.get(f"{PAGE}?for={code}").status_code for code in ("a1", "nobody")] == [404, 404]

"""The page of scored forecasts: its words, its picture, its empty state, and the demo's forecasts made afterwards."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta

import pytest
import time_machine
from django.test import Client

from athletes.records.models import CheckIn, Session, Squad
from coaching.drawing.reliability import Mark, draw_reliability
from coaching.ledger.models import KeptForecast
from coaching.pages.right_page import RightPage
from coaching.usecases import kept_afterwards
from coaching.usecases.shown_right import UNSCORED, Bin, Gain, Horizon, Ratings, Right
from coaching.wording import right
from tests import stored
from tests.stored import NOW, TODAY

EIGHT = Bin(8, 120, 0.80, 0.79, 0.74, 0.83)
FEW = Bin(3, 5, 0.31, 0.60, 0.33, 0.82)
LOW = Bin(9, 60, 0.91, 0.70, 0.62, 0.77)


def shown(**changes: object) -> Right:
    week = Horizon("7", 185, 0.7, 0.72, 0.17, 0.01, 0.04, 0.2, 0.5, 0.03, 0.7)
    whole = Right(
        today=TODAY,
        first_day=TODAY - timedelta(days=60),
        athletes=24,
        answering=20,
        kept=900,
        afterwards=0,
        scored=185,
        bins=(FEW, EIGHT, LOW),
        horizons=(week, Horizon("14", 3)),
        ratings=(Ratings("reserve", 7, 100, 0.81, 0.61, (0.25, 0.25, 0.3, 0.2)),),
        unscored=dict.fromkeys(UNSCORED, 4),
        damage_seen_said=0.4,
        models=("2026.2",),
    )
    return replace(whole, **changes)  # type: ignore[arg-type]


def test_the_headline_says_how_often_it_held_when_we_said_8_in_10() -> None:
    assert right.headline(shown()) == "When we said 8 in 10, skin held 79 times in 100."
    assert right.headline(shown(bins=(FEW, LOW))) == "When we said 9 in 10, skin held 70 times in 100."
    assert right.headline(shown(bins=(FEW,))) == "Too early to say."
    assert right.headline(shown(scored=0, bins=())) == "Nothing to judge by yet."


def test_a_tenth_with_too_few_is_never_judged() -> None:
    assert right.verdict([FEW]).startswith("No tenth has enough")
    assert "about as often as we said" in right.verdict([FEW, EIGHT])
    assert right.verdict([FEW, LOW]) == "It held less often than we said at 9 in 10."
    assert right.verdict([replace(LOW, held_frac=0.99, low=0.95, high=1.0)]).startswith("It held more often")


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (Gain("average", 90, 0.2, 0.1, 0.3), "our error is 20 in 100 smaller"),
        (Gain("average", 90, -0.2, -0.3, -0.1), "our error is 20 in 100 larger"),
        (Gain("average", 90, 0.2, -0.1, 0.3), "no clear difference yet"),
        (Gain("average", 9, None), "not known: too few to compare"),
    ],
)
def test_a_gain_is_claimed_only_where_its_range_leaves_out_nil(found: Gain, said: str) -> None:
    assert right.gain(found)[1] == said


def test_the_picture_shows_what_the_table_says() -> None:
    drawn = draw_reliability([Mark(0.8, 0.5, 0.4, 0.6, few=True)], "t", "said", "held")
    assert 'class="rely-dot rely-few" cx="250.4" cy="136"' in drawn  # 52 + .8 x 248, 12 + .5 x 248
    assert 'y1="160.8" x2="250.4" y2="111.2"' in drawn
    with pytest.raises(ValueError, match="outside"):
        Mark(1.2, 0.5, 0.4, 0.6, few=False)
    page = RightPage(shown())
    assert page.picture.count("<circle") == len(page.bins) == 3
    assert [line.few for line in page.bins] == [True, False, False]


@pytest.fixture
def coach(db: None) -> Client:
    client = Client()
    rows = stored.athletes(["a1"], stored.squad())
    stored.share(rows)
    with time_machine.travel(NOW, tick=False):
        client.force_login(stored.login("head-coach", Squad.objects.get()))
    return client


def test_before_anything_is_kept_the_page_says_what_to_do(coach: Client) -> None:
    with time_machine.travel(NOW, tick=False):
        html = coach.get("/were-we-right").content.decode()
    assert "No forecast has been kept yet" in html and "did skin limit you?" in html and "<svg" not in html
    assert re.search(r'href="/were-we-right" aria-current="page"', html)


def test_forecasts_made_afterwards_read_no_later_day_and_say_so(coach: Client) -> None:
    """Told twice; the second time the days after the last evening are otherwise, and nothing kept is."""
    athlete = Squad.objects.get().memberships.get().athlete
    for n in range(1, 60):
        day = TODAY - timedelta(days=n)
        CheckIn.objects.create(athlete=athlete, local_date=day, reserve=4 + n % 3, dampness=5)
        Session.objects.create(
            athlete=athlete, local_date=day, planned=False, minutes=60, rpe=5, skin_limited=n % 4 == 0
        )
    with time_machine.travel(NOW, tick=False):
        count = kept_afterwards.compute_afterwards(NOW, evenings=2)
        first = list(KeptForecast.objects.order_by("made_on", "target_day").values_list("made_on", "p", "told"))
        KeptForecast.objects.all().delete()
        later = TODAY - timedelta(days=kept_afterwards.EVERY_D)
        CheckIn.objects.filter(local_date__gt=later).update(reserve=0, dampness=10)
        Session.objects.filter(local_date__gt=later).update(skin_limited=True, minutes=300)
        kept_afterwards.compute_afterwards(NOW, evenings=2)
        second = list(KeptForecast.objects.order_by("made_on", "target_day").values_list("made_on", "p", "told"))
        html = coach.get("/were-we-right").content.decode()
    assert count == len(first) == 4 and first == second
    assert "4 of these forecasts were computed afterwards for the demo" in html

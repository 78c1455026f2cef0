"""Two days side by side: each as it was known then, nothing told later; every zone in words; few cases are grey."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta

import pytest
import time_machine
from django.test import Client

from athletes.records.choices import SITES
from athletes.records.models import Account, Athlete, CheckIn, Damage, Look, Sighting
from athletes.records.photos import keeping
from athletes.records.photos.cleaning import cleaned
from coaching.drawing.site_strip import DAY_PX, StateRun, draw_cases, draw_site_strip
from coaching.rules.facts import AthleteFacts, CheckInFact, EpisodeFact, LookFact
from coaching.usecases.hands_over_time import Run, hands_on, runs
from tests import stored
from tests.unit.test_photo_cleaning import jpeg

D = date(2027, 3, 1)
SITE = "R-middle-tip-crease"


def day(n: int) -> date:
    return D + timedelta(days=n)


def facts() -> AthleteFacts:
    checkins = (
        CheckInFact(day(0), reserve=5, marks=(("L-index-tip", "pink"),)),
        CheckInFact(day(2), reserve=6, marks=()),
    )
    looks = (LookFact(day(5), "closing"), LookFact(day(9), "sound"))
    episodes = (EpisodeFact("e1", SITE, "split", day(3), looks=looks),)
    return AthleteFacts("a1", 20, "UTC", checkins=checkins, episodes=episodes)


@pytest.mark.parametrize(
    ("n", "marks", "damage"),
    [
        (-1, [], []),
        (0, ["pink"], []),
        (1, ["pink"], []),  # nobody has said otherwise, and MARK_DAYS is four
        (2, [], []),
        (3, [], ["open"]),  # noticed, not looked at yet
        (5, [], ["closing"]),
        (8, [], ["closing"]),
        (9, [], []),
    ],
)
def test_a_day_is_shown_as_it_was_known_then(n: int, marks: list[str], damage: list[str]) -> None:
    found = hands_on(facts(), day(n))
    assert ([one.mark for one in found.marks], [one.stage for one in found.damage]) == (marks, damage)


def test_runs_are_joined_where_a_state_goes_on() -> None:
    assert list(runs(facts(), day(-2), day(12))) == [
        Run("L-index-tip", "pink", day(0), day(1)),
        Run(SITE, "open", day(3), day(4), "split"),
        Run(SITE, "closing", day(5), day(8), "split"),
    ]


def test_a_strip_stands_on_its_days_and_is_cut_at_its_ends() -> None:
    svg = draw_site_strip([StateRun("open", day(-3), day(1))], day(0), 10, "t", "k")
    (bar,) = re.findall(r'<rect class="mark mark-open"[^>]*>', svg)
    assert f'x="0" y="5" width="{2 * DAY_PX:g}"' in bar
    assert 'class="mark' not in draw_site_strip([StateRun("open", day(-9), day(-1))], day(0), 10, "t", "k")


def test_cases_under_three_are_drawn_grey_and_equal_ones_apart() -> None:
    few, more = (draw_cases(days, None, "t", "days", len(days) < 3) for days in ([9, 12], [9, 12, 12, 16]))
    assert few.count("case-few") == 2 and "case-dot" not in few
    dots = re.findall(r'class="case-dot" cx="([\d.]+)" cy="([\d.]+)"', more)
    assert len(dots) == 4 and len(set(dots)) == 4
    assert float(dots[0][0]) < float(dots[1][0]) == float(dots[2][0]) < float(dots[3][0])


@pytest.fixture
def coach(db: None) -> Iterator[Client]:
    with time_machine.travel(stored.NOW, tick=False):
        squad = stored.squad()
        rows = stored.athletes(["a1", "a2"], squad)
        stored.share(rows)
        found = Client()
        found.force_login(stored.login("head-coach", squad))
        yield found


def episode(noticed: int, sound: int | None, site: str = SITE) -> Damage:
    athlete = Athlete.objects.get(code="a1")
    first = stored.TODAY - timedelta(days=noticed)
    row = Damage.objects.create(athlete=athlete, code=f"d{noticed}", site=site, kind="split", noticed_on=first)
    Look.objects.create(damage=row, local_date=first, stage="open")
    if sound is not None:
        Look.objects.create(damage=row, local_date=first + timedelta(days=sound), stage="sound")
    return row


PAGE = "/athletes/a1/hands"


def test_both_days_are_in_the_address_and_every_zone_has_its_state_in_words(coach: Client) -> None:
    episode(4, None)
    html = coach.get(f"{PAGE}?then=2027-03-01&now=2027-03-11").content.decode()
    named = re.findall(r'<a href="#site-([\w-]+)" aria-label="([^"]+)"', html)
    assert {site for site, _ in named} == SITES and len(named) == 2 * len(SITES)
    said = [word for site, word in named if site == SITE]
    assert said == ["right middle, tip crease: nothing marked", "right middle, tip crease: split, open"]
    assert "right middle, tip crease: nothing marked → split, open" in html
    assert all(f'id="site-{site}"' in html for site in SITES)  # each zone leads somewhere
    assert "then=2027-02-22&amp;now=2027-03-11" in html and "now=2027-03-12" not in html  # a week back; no day to come
    assert "turned=1" in html and "turned=1" in coach.get(f"{PAGE}?turned=1").content.decode()


def test_turned_the_hands_change_sides(coach: Client) -> None:
    plain, turned = (coach.get(f"{PAGE}{q}").content.decode() for q in ("", "?turned=1"))
    first = [re.search(r'href="#site-([LR])-', html)[1] for html in (plain, turned)]  # type: ignore[index]
    assert first == ["L", "R"]


@pytest.mark.parametrize("query", ["?then=nonsense", "?then=2027-13-01&now=x", "?then=2099-01-01", "?now=1990-01-01"])
def test_an_address_without_sense_shows_days_that_are(coach: Client, query: str) -> None:
    answer = coach.get(f"{PAGE}{query}")
    days = re.findall(r'name="(?:then|now)" value="([\d-]+)"', answer.content.decode())
    assert answer.status_code == 200 and days == sorted(days) and days[1] <= "2027-03-11"


def test_own_cases_are_dots_grey_under_three(coach: Client) -> None:
    for noticed, took in ((60, 9), (40, 12)):
        episode(noticed, took)
    html = coach.get(PAGE).content.decode()
    assert html.count("case-few") == 2 and "2 cases of one’s own: too few to go by" in html
    episode(25, 16)
    episode(4, None)
    html = coach.get(PAGE).content.decode()
    assert html.count('class="case-dot"') == 3 and "the last 3 took 16, 12 and 9 days" in html
    assert 'class="today-rule"' in html


def test_photos_stand_in_pairs_where_they_are_shared_and_nowhere_else(coach: Client) -> None:
    row, clean = episode(20, None), cleaned(jpeg())
    for back in (20, 10, 1):
        keeping.store(row.athlete_id, row.code, stored.TODAY - timedelta(days=back), clean, stored.NOW)
    html = coach.get(f"{PAGE}?then=2027-02-20&now=2027-03-11").content.decode()
    assert re.findall(r'alt="Photo of ([^"]+)"', html) == ["Friday 19 February", "Wednesday 10 March"]
    address = re.search(r'src="(/photos/[^"]+)"', html)[1]  # type: ignore[index]
    assert coach.get(address).status_code == 200
    stored.withdraw(data_class="photos")
    html = coach.get(PAGE).content.decode()
    assert "Photos are not shared with you." in html and "/photos/" not in html
    assert coach.get(address).status_code == 404


def test_without_damage_shared_nothing_of_a_site_is_told(coach: Client) -> None:
    episode(4, None)
    athlete = Athlete.objects.get(code="a1")
    CheckIn.objects.create(athlete=athlete, local_date=stored.TODAY, marks=[["L-web", "pink"]])
    Sighting.objects.create(athlete=athlete, local_date=stored.TODAY, by="coach", marks=[["L-web", "soft"]])
    stored.withdraw(data_class="damage")
    html = coach.get(PAGE).content.decode()
    assert "Damage by site is not shared with you." in html
    assert not any(word in html for word in ("tip crease", "web of the thumb", "split", "#site-"))
    stored.withdraw(data_class="level")
    assert coach.get(PAGE).status_code == 404


def test_a_stranger_and_an_athlete_find_no_such_page(coach: Client) -> None:
    squad = stored.squad("elsewhere")
    own = stored.login("athlete", None, Athlete.objects.filter(code="a1"))
    for account in (stored.login("head-coach", squad), own):
        other = Client()
        other.force_login(Account.objects.get(pk=account.pk))
        assert other.get(PAGE).status_code == 404

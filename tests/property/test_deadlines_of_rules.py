"""Last safe days against time and zones: with the same facts a later today adds no slack, and neither a zone nor a
change of the clocks moves a local date.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from hypothesis import given, settings
from hypothesis import strategies as st

from coaching.rules.conclusions import Deadline
from coaching.rules.facts import (
    AthleteFacts,
    AwayFact,
    CheckInFact,
    EntryFact,
    EpisodeFact,
    LookFact,
    SessionFact,
    SightingFact,
    VenueAirFact,
)
from coaching.rules.numbers import AthleteNumbers, Quartet
from tests import cast

ZONES = (
    "UTC", "Europe/Vienna", "America/Los_Angeles", "Pacific/Auckland", "Pacific/Kiritimati", "Asia/Kathmandu",
    "Australia/Lord_Howe", "America/Sao_Paulo", "Africa/Casablanca", "Pacific/Pago_Pago",
)  # fmt: skip
DAYS = st.dates(date(2027, 1, 1), date(2027, 12, 1))  # both changes of the clocks of both halves of the earth
SITES = ("R-middle-tip-crease", "L-index-tip", "R-ring-middle")
FORMS = ("methenamine spray", "methenamine cream", "aluminium salt", "iontophoresis", "scrape finger sides", "sand")


@st.composite
def athletes(draw: st.DrawFn, as_of: date) -> tuple[AthleteFacts, AthleteNumbers]:
    """Anybody with one event ahead, some care planned and done, and perhaps a split."""
    first = as_of + timedelta(days=draw(st.integers(3, 45)))
    closes = datetime.combine(first - timedelta(days=draw(st.integers(0, 4))), datetime.min.time(), UTC)
    damp = draw(st.sampled_from((None, 4.0, 22.0)))
    event = cast.entry(
        first, timezone=draw(st.sampled_from(ZONES)), styles=draw(st.sampled_from(((), ("crack",)))),
        entry_deadline=draw(st.sampled_from((None, closes + timedelta(hours=draw(st.integers(0, 23)))))),
        air=VenueAirFact(venue_dew_point_c=damp, home_dew_point_c=9.0),
    )  # fmt: skip
    offsets = draw(st.lists(st.tuples(st.integers(-30, 30), st.sampled_from(FORMS)), max_size=6))
    care = tuple(
        (cast.planned if n >= 0 else cast.done)(as_of + timedelta(days=n), _verb(form), form) for n, form in offsets
    )
    noticed = as_of - timedelta(days=draw(st.integers(0, 12)))
    look = LookFact(as_of, draw(st.sampled_from(("open", "closing", "rimmed"))), pain=draw(st.integers(0, 6)))
    hurt = (EpisodeFact("d1", draw(st.sampled_from(SITES)), "split", noticed, depth="deep", looks=(look,)),)
    leaves = first - timedelta(days=draw(st.integers(0, 9)))
    seen = SightingFact(as_of - timedelta(days=draw(st.integers(0, 2))), "coach", (("R-ring-tip", "glassy"),))
    calm = tuple(CheckInFact(as_of - timedelta(days=n), sting=0, pull_pain=0, reserve=8) for n in range(9, -1, -1))
    sore = CheckInFact(as_of - timedelta(days=draw(st.integers(0, 3))), sting=6, marks=(("L-ring-tip", "pink"),))
    trains = tuple(SessionFact(as_of + timedelta(days=n), True, 60.0) for n in draw(st.sets(st.integers(-2, 6))))
    facts = cast.athlete(
        as_of, age_years=draw(st.sampled_from((14, 17, 18, 24))),
        skin_kind=draw(st.sampled_from(("damp", "mixed", "dry"))),
        care=care, entries=(event,), episodes=draw(st.sampled_from(((), hurt))),
        checkins=draw(st.sampled_from((calm[:0], calm, (sore,)))), sightings=draw(st.sampled_from(((), (seen,)))),
        sessions=trains,
        away=draw(st.sampled_from(((), (AwayFact(leaves, first, "travel"),)))),
    )  # fmt: skip
    wet = {"damp": 7.5, "mixed": 5.0, "dry": 2.0}[facts.skin_kind or "mixed"]
    healing = cast.healing(Quartet(2, 5, 8, 12), Quartet(3, 6, 9, 13), Quartet(9, 15, 21, 28))
    return facts, cast.numbers(cast.chance(0.6), dampness_mean_pt=wet, episodes={"d1": healing})


def _verb(form: str) -> str:
    return {"scrape finger sides": "toughen", "sand": "even"}.get(form, "dry")


def found(facts: AthleteFacts, numbers: AthleteNumbers, as_of: date) -> tuple[Deadline, ...]:
    return cast.first(cast.concluded(facts, numbers, as_of)).deadlines


def slack(deadlines: tuple[Deadline, ...]) -> dict[tuple[str, str | None, str | None], int]:
    """The least slack of a kind, form and site, undone ones only: what is done asks for nothing."""
    least: dict[tuple[str, str | None, str | None], int] = {}
    for one in deadlines:
        if one.state != "done":
            key = (one.kind, one.form, one.site)
            least[key] = min(least.get(key, one.slack_days), one.slack_days)
    return least


def _later(numbers: AthleteNumbers, days: int) -> AthleteNumbers:
    """The same course of healing told from a later day: what was expected in five days is expected in four."""
    def moved(one: Quartet) -> Quartet:
        points = (one.q10_d, one.q50_d, one.q80_d, one.q90_d)
        return Quartet(*(None if d is None else max(0.0, d - days) for d in points))

    episodes = {
        key: replace(one, closed=moved(one.closed), usable=moved(one.usable), sound=moved(one.sound))
        for key, one in numbers.episodes.items()
    }
    return replace(numbers, episodes=episodes)


@settings(max_examples=150, deadline=None)
@given(st.data(), DAYS, st.integers(1, 3))
def test_a_later_today_never_adds_slack_with_the_same_facts(data: st.DataObject, as_of: date, days: int) -> None:
    facts, numbers = data.draw(athletes(as_of))
    now = slack(found(facts, numbers, as_of))
    later = slack(found(facts, _later(numbers, days), as_of + timedelta(days=days)))
    for key in now.keys() & later.keys():
        assert later[key] <= now[key] - days, key


@settings(max_examples=150, deadline=None)
@given(st.data(), DAYS, st.sampled_from(ZONES), st.sampled_from(ZONES))
def test_neither_zone_moves_a_day(data: st.DataObject, as_of: date, home: str, there: str) -> None:
    """Without an hour in it nothing hangs on a zone; entries, which have one, are held below."""
    facts, numbers = data.draw(athletes(as_of))
    event = replace(facts.entries[0], entry_deadline=None)
    still = found(replace(facts, entries=(event,)), numbers, as_of)
    moved = found(replace(facts, timezone=home, entries=(replace(event, timezone=there),)), numbers, as_of)
    assert still == moved


@settings(max_examples=150, deadline=None)
@given(DAYS, st.integers(0, 24 * 60 - 1), st.sampled_from(ZONES), st.sampled_from(ZONES))
def test_entries_close_on_the_earlier_of_both_local_days(as_of: date, minute: int, home: str, there: str) -> None:
    """An instant has a day in every zone; nobody acts a day late. zoneinfo is the judge of both."""
    closes = datetime.combine(as_of + timedelta(days=5), datetime.min.time(), UTC) + timedelta(minutes=minute)
    entry: EntryFact = cast.entry(as_of + timedelta(days=9), timezone=there, entry_deadline=closes)
    facts = cast.athlete(as_of, timezone=home, entries=(entry,))
    (one,) = [d for d in found(facts, cast.numbers(cast.chance(0.6)), as_of) if d.kind == "entry"]
    local = {zone: closes.astimezone(ZoneInfo(zone)).date() for zone in (home, there)}
    assert one.latest == min(local.values()) and one.slack_days == (one.latest - as_of).days
    assert one.at is not None and datetime.fromisoformat(one.at) == closes and one.zone == there


@settings(max_examples=150, deadline=None)
@given(st.data(), DAYS)
def test_slack_is_whole_days_from_today_and_the_middle_is_no_stricter_than_the_late_end(
    data: st.DataObject, as_of: date
) -> None:
    """A change of the clocks between today and the last day makes a day of 23 or 25 hours: a day all the same."""
    for one in found(*data.draw(athletes(as_of)), as_of):
        assert one.slack_days == (one.latest - as_of).days
        assert one.earliest is None or one.earliest <= max(one.latest, as_of)

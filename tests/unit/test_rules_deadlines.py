"""Last safe days: which apply, on which day they fall, and how they stand on the days around them."""

from __future__ import annotations

import math
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from coaching.rules.conclusions import Deadline
from coaching.rules.damage import Damage
from coaching.rules.facts import AwayFact, CareFact, EntryFact, EpisodeFact, LookFact, SessionFact, VenueAirFact
from coaching.rules.numbers import EntryNumbers, Quartet
from coaching.science.healing import healing
from coaching.science.quantities import defaults
from tests import cast
from tests.cast import day
from tests.courses import ORIGIN
from tests.courses import damage as damaged

EVENT = day("6-12")
DAMP_PLACE = VenueAirFact(venue_dew_point_c=24.8, home_dew_point_c=9.5, venue_temp_c=29.0)


def found(
    as_of: date, entry: EntryFact | None = None, chance: EntryNumbers | None = None, **changes: Any
) -> list[Deadline]:
    entry = entry or cast.entry(EVENT)
    figures = cast.numbers(chance or cast.chance(0.7), episodes=changes.pop("healing", {}))
    facts = cast.athlete(as_of, entries=(entry,), **changes)
    return list(cast.first(cast.concluded(facts, figures, as_of)).deadlines)


def one(deadlines: list[Deadline], kind: str) -> Deadline:
    (only,) = [item for item in deadlines if item.kind == kind]
    return only


@pytest.mark.parametrize(
    ("as_of", "state", "slack"),
    [("6-6", "open", 3), ("6-7", "due", 2), ("6-9", "due", 0), ("6-10", "done", -1)],
)
def test_a_limit_is_due_two_days_before_and_done_once_kept(as_of: str, state: str, slack: int) -> None:
    last = one(found(day(as_of)), "rough-session-last")
    assert (last.latest, last.state, last.slack_days) == (day("6-9"), state, slack)


def test_a_limit_that_was_not_kept_is_missed() -> None:
    rough = (SessionFact(day("6-10"), planned=False, minutes=60, surface="sharp rock"),)
    assert one(found(day("6-10"), sessions=rough), "rough-session-last").state == "missed"
    filed = (cast.done(day("6-11"), "even", "sand"),)
    assert one(found(day("6-11"), care=filed), "even-last").state == "missed"


def test_filing_ends_two_days_before_and_better_three() -> None:
    last = one(found(day("6-1")), "even-last")
    assert (last.latest, last.median) == (day("6-10"), day("6-9"))


@pytest.mark.parametrize(("as_of", "states"), [("5-29", ["due"]), ("5-30", [])])
def test_without_a_plan_the_last_first_use_is_shown_while_it_is_ahead(as_of: str, states: list[str]) -> None:
    assert [item.state for item in found(day(as_of)) if item.kind == "agent-first-use"] == states


@pytest.mark.parametrize(
    ("form", "first", "again"),
    [
        ("methenamine spray", "5-29", "5-29"),
        ("aluminium salt", "6-2", "6-2"),
        ("iontophoresis", "5-10", "5-12"),
    ],
)
def test_start_of_each_agent_for_the_first_time_and_again(form: str, first: str, again: str) -> None:
    plan = cast.planned(day("5-20"), "dry", form)
    start = one(found(day("5-10"), care=(plan,)), "agent-first-use")
    assert (start.form, start.latest) == (form, day(first))
    last_year = cast.done(date(2026, 6, 1), "dry", form)
    assert one(found(day("5-10"), care=(last_year, plan)), "agent-start").latest == day(again)


@pytest.mark.parametrize(
    ("form", "last"), [("methenamine spray", "6-9"), ("aluminium salt", "6-11"), ("iontophoresis", "6-10")]
)
def test_last_use_of_each_agent(form: str, last: str) -> None:
    used = (cast.done(day("5-28"), "dry", form),)
    assert one(found(day("6-1"), care=used), "agent-stop").latest == day(last)


def test_dry_skin_stops_every_agent_two_weeks_before_and_begins_cream() -> None:
    """A trip that begins on 18 September to an arid place: stop no later than 4 September."""
    entry = cast.entry(day("9-18"), day("10-2"), kind="trip")
    used = (cast.done(day("8-20"), "dry", "methenamine cream"),)
    deadlines = found(day("8-22"), entry, skin_kind="dry", care=used)
    assert one(deadlines, "agent-stop").latest == day("9-4")
    assert one(deadlines, "soften-start").latest == day("9-4")
    assert not [item for item in deadlines if item.kind == "agent-first-use"]


def test_damp_skin_in_damper_air_begins_the_long_course_before_travel_and_rehearses() -> None:
    """Dew point 15 degrees above home, a course known from last year: it begins on 12 May for an event on 12
    June.
    """
    entry = cast.entry(EVENT, air=DAMP_PLACE)
    known = (cast.done(date(2026, 6, 1), "dry", "iontophoresis"),)
    deadlines = found(day("5-10"), entry, skin_kind="damp", care=known)
    start = one(deadlines, "agent-start")
    assert (start.form, start.latest, start.state) == ("iontophoresis", day("5-12"), "due")
    assert one(deadlines, "agent-stop").latest == day("6-10")
    assert one(deadlines, "rehearsal-start").latest == day("5-30")


@pytest.mark.parametrize(
    ("venue", "home", "kind", "wanted"),
    [
        (14.0, 9.0, "damp", True),
        (13.9, 9.0, "damp", False),
        (16.0, None, "mixed", True),
        (24.0, 9.0, "dry", False),
    ],
)
def test_rehearsal_is_for_damper_air_and_not_for_dry_skin(
    venue: float, home: float | None, kind: str, wanted: bool
) -> None:
    entry = cast.entry(EVENT, air=VenueAirFact(venue, home))
    kinds = [item.kind for item in found(day("5-10"), entry, skin_kind=kind)]
    assert ("rehearsal-start" in kinds) is wanted


def test_a_minor_needs_both_signatures_before_the_first_use() -> None:
    """A youth event on 10 July: the watched first course begins by 7 June, so both have signed by then."""
    entry, plan = cast.entry(day("7-10")), (cast.planned(day("6-7"), "dry", "iontophoresis"),)
    signoff = one(found(day("5-31"), entry, age_years=16, care=plan), "medical-signoff")
    assert (signoff.form, signoff.latest) == ("iontophoresis", day("6-7"))


def test_toughening_ends_before_the_travel() -> None:
    entry = cast.entry(EVENT, styles=("crack",))
    home = found(day("5-1"), entry)
    assert one(home, "toughen-stop").latest == day("6-9")
    assert (one(home, "toughen-start").latest, one(home, "toughen-start").median) == (day("5-31"), day("6-2"))
    away = found(day("5-1"), entry, away=(AwayFact(day("6-7"), day("6-13"), "travel"),))
    assert [one(away, kind).latest for kind in ("toughen-start", "toughen-stop")] == [day("5-28"), day("6-6")]


def test_toughening_begun_in_time_is_done_and_late_is_missed() -> None:
    entry = cast.entry(EVENT, needs_sites=("L-index-little-side",))
    begun: tuple[CareFact, ...] = (cast.done(day("5-31"), "toughen", "scrape finger sides"),)
    assert one(found(day("6-1"), entry, care=begun), "toughen-start").state == "done"
    assert one(found(day("6-1"), entry), "toughen-start").state == "missed"


def test_toughening_is_for_cracks_alone() -> None:
    kinds = {item.kind for item in found(day("5-1"), cast.entry(EVENT, styles=("crimp", "sloper")))}
    assert not {"toughen-start", "toughen-stop"}.intersection(kinds)


def test_rest_is_listed_only_where_it_helps() -> None:
    helps = found(day("6-1"), chance=cast.chance(0.6, p_rest=0.7))
    assert one(helps, "rest-start").latest == day("6-10")
    assert not [item for item in found(day("6-1")) if item.kind == "rest-start"]


def test_entries_close_in_the_zone_of_the_event() -> None:
    """Two in the morning UTC on the 8th is the evening of the 7th in New York."""
    closes = datetime(2027, 6, 8, 2, 0, tzinfo=ZoneInfo("UTC"))
    entry = cast.entry(EVENT, timezone="America/New_York", entry_deadline=closes)
    last = one(found(day("6-6"), entry), "entry")
    assert (last.latest, last.at, last.slack_days) == (day("6-7"), "2027-06-07T22:00:00-04:00", 1)


def hurt(as_of: date, *looks: LookFact, **changes: Any) -> list[Deadline]:
    noticed: date = changes.pop("noticed", day("6-1"))
    closed = changes.pop("closed", Quartet(1.0, 2.0, 3.2, 4.0))
    healing = {"d1": cast.healing(closed, p_sound_by_day={EVENT: changes.pop("p_sound", 0.4)})}
    deep = {"depth": changes.pop("depth")} if "depth" in changes else {}
    split = cast.split(noticed, "L-index-tip", *looks, kind=changes.pop("kind", "split"), **deep)
    return found(as_of, changes.pop("entry", None), episodes=(split,), healing=healing, **changes)


def looks(deadlines: list[Deadline]) -> list[tuple[date, str]]:
    return [(item.latest, item.state) for item in deadlines if item.kind == "look"]


@pytest.mark.parametrize(("pain", "kinds"), [(4, ["look", "taped-try"]), (3, [])])
def test_a_standing_pain_gate_gets_its_look_and_taped_try_however_likely_sound(
    pain: int, kinds: list[str]
) -> None:
    """Pain over 3 at a flapper stops a start (judgement), and only a look can say that it has passed."""
    seen = LookFact(day("6-2"), "closing", pain=pain)
    deadlines = hurt(day("6-3"), seen, kind="flapper", p_sound=0.97)
    assert list(dict.fromkeys(item.kind for item in deadlines if item.site == "L-index-tip")) == kinds


@pytest.mark.parametrize(
    ("kind", "depth", "first"), [("split", "deep", "6-8"), ("split", None, "6-5"), ("graze", None, "6-6")]
)
def test_looks_fall_at_the_late_end_of_closing_and_on_the_day_of_the_try(
    kind: str, depth: str | None, first: str
) -> None:
    """Four in five deep splits of a pad have closed within seven days, of unknown depth within four, grazes within
    five: judgement, from the ranges that `test_the_days_of_a_first_look_are_those_of_the_model` holds.
    """
    deadlines = hurt(day("6-2"), kind=kind, depth=depth)
    assert looks(deadlines) == [(day(first), "open"), (day("6-10"), "open")]
    assert one(deadlines, "taped-try").if_ == "look:2027-06-10"
    assert one(deadlines, "taped-try").site == "L-index-tip"

MODEL_KINDS = [
    ("split", "L-index-tip", "pad"), ("split", "L-index-tip-crease", "crease"), ("flapper", "L-index-base", "pad"),
    ("tear", "L-index-base", "pad"), ("blister", "L-index-base", "pad"), ("cut", "L-index-tip", "pad"),
    ("cut", "L-index-tip-crease", "crease"), ("graze", "L-index-back", "other"), ("holed", "L-index-tip", "pad"),
]  # fmt: skip


@pytest.mark.parametrize("depth", ["shallow", "deep", None])
@pytest.mark.parametrize(("kind", "site", "place"), MODEL_KINDS)
def test_the_days_of_a_first_look_are_those_of_the_model(kind: str, site: str, place: str, depth: str | None) -> None:
    """The late end (four in five) of closing of fresh damage that nobody has looked at, in whole days."""
    deep = {"shallow": 0.0, "deep": 1.0, None: np.nan}[depth]
    model = healing(damaged(kind, place, deep=deep), ORIGIN, 61, defaults()).closed_days[0, 2]
    fact = EpisodeFact("d1", site, kind, day("6-1"), depth=depth)
    assert (Damage(fact, "open", None, None, None, None, day("6-1")).closes_by - day("6-1")).days == math.ceil(model)


def test_slow_closing_still_leaves_two_days_between_the_looks() -> None:
    """Noticed on the 3rd, a deep split closes by the 10th, the day of the second look."""
    assert looks(hurt(day("6-3"), noticed=day("6-3")))[0][0] == day("6-8")
    assert looks(hurt(day("6-3"), noticed=day("6-3"), closed=cast.NEVER))[0][0] == day("6-8")


def test_a_look_that_found_it_closed_leaves_one_look() -> None:
    assert looks(hurt(day("6-6"), LookFact(day("6-5"), "rimmed", pain=1))) == [(day("6-10"), "open")]


def test_a_look_made_is_done_and_one_left_out_is_missed() -> None:
    assert looks(hurt(day("6-8"), LookFact(day("6-8"), "open")))[0] == (day("6-8"), "done")
    assert looks(hurt(day("6-9")))[0] == (day("6-8"), "missed")


def test_the_try_is_before_entries_close() -> None:
    entry = cast.entry(EVENT, entry_deadline=cast.at("6-9", 12))
    deadlines = hurt(day("6-2"), entry=entry)
    assert one(deadlines, "taped-try").latest == day("6-8")
    assert one(deadlines, "entry").if_ == "taped-try:2027-06-08"


def test_a_try_done_on_closed_damage_is_done_and_on_open_damage_is_not() -> None:
    tried = (cast.done(day("6-10"), "try", "taped try", "L-index-tip"),)
    closed = hurt(day("6-10"), LookFact(day("6-10"), "rimmed", pain=1, opens_on_pull=False), care=tried)
    assert one(closed, "taped-try").state == "done"
    still_open = hurt(day("6-10"), LookFact(day("6-10"), "open"), care=tried)
    assert one(still_open, "taped-try").state == "missed"


def test_damage_on_the_last_days_is_tried_the_day_after() -> None:
    """A flapper is usable taped from the first day; a deep split is only looked at."""
    torn, deep = (hurt(day("6-10"), noticed=day("6-10"), kind=kind) for kind in ("flapper", "split"))
    assert one(torn, "taped-try").latest == day("6-11")
    assert [item for item, _ in looks(torn)] == [item for item, _ in looks(deep)] == [day("6-11")]
    assert "taped-try" not in [item.kind for item in deep]


@pytest.mark.parametrize(("p_sound", "wanted"), [(0.94, True), (0.95, False)])
def test_damage_as_good_as_sound_by_then_needs_no_try(p_sound: float, wanted: bool) -> None:
    assert bool(looks(hurt(day("6-2"), p_sound=p_sound))) is wanted


def test_damage_that_the_event_does_not_need_has_no_deadline() -> None:
    assert looks(hurt(day("6-2"), entry=cast.entry(EVENT, styles=("sloper", "crack")))) == []
    assert looks(hurt(day("6-2"), entry=cast.entry(EVENT, needs_sites=("R-ring-tip",)))) == []
    assert looks(hurt(day("6-2"), entry=cast.entry(EVENT, needs_sites=("L-index-middle",)))) != []


def test_nothing_is_left_to_prepare_once_the_event_has_begun() -> None:
    entry = cast.entry(EVENT, EVENT + timedelta(days=3), kind="trip")
    assert found(EVENT, entry) == []
    assert found(EVENT - timedelta(days=1), entry) != []

"""Situations on the move, through the command line. Beside each stands what argues for the decision: a source, `common
practice, no source`, or `judgement`.
"""

from __future__ import annotations

import pytest

from tests.journey.cases.asked import Answer, answers, further_text

Found = dict[str, Answer]


@pytest.fixture(scope="module")
def found() -> Found:
    return answers(further_text())


def no_load(answer: Answer) -> list[str]:
    return [day for day, one in answer.limits().items() if one["surface"] is None]


def test_after_two_days_on_sharp_rock_one_is_off(found: Found) -> None:
    """Granite one to two days on, one off (common practice, no source): the third day was one too many already."""
    assert no_load(found["three-days-on"]) == ["2027-04-08", "2027-04-11"]
    assert no_load(found["one-day-on"]) == ["2027-04-09"]


def test_finer_rock_bears_a_third_day(found: Found) -> None:
    """Limestone two to three days on, one off (common practice, no source)."""
    assert no_load(found["fine-rock"]) == ["2027-04-09"]


def test_dry_skin_is_greased_on_the_way_whatever_the_air_of_the_place(found: Found) -> None:
    """Occlusive and glycerol on the flight (judgement on cabin air of 5-15 % humidity)."""
    flight = found["dry-flight"]
    assert [one["date"] for one in flight.steps("occlusive ointment")] == ["2027-04-10"]
    assert [(one["latest"], one["state"]) for one in flight.deadlines("soften-start")] == [("2027-03-29", "missed")]
    assert "stand-in" in flight.fallbacks()  # a missed day offers what is left


def test_a_trip_right_after_an_event_is_said_and_the_days_between_are_kept_easy(found: Found) -> None:
    """A trip three days after an event goes unnoticed (judgement)."""
    both = found["event-then-trip"]
    assert "clash" in both.codes(0) and "clash" in both.codes(1)
    assert no_load(both)[:2] == ["2027-04-10", "2027-04-12"] and both.limits()["2027-04-11"]["surface"] == "wood"


def test_skin_that_is_gone_is_off_today_and_tomorrow(found: Found) -> None:
    """Worn out skin comes back in a couple of days if stopped in time (common practice, no source)."""
    gone = found["nothing-left"]
    assert gone.today["may_climb"] == "off" and no_load(gone)[:2] == ["2027-04-07", "2027-04-08"]


def test_a_split_that_opened_again_begins_anew(found: Found) -> None:
    """A deep pad split is usable taped after 4-8 days (judgement): day 4 of the second opening, not day 15."""
    again = found["open-again"]
    assert again.days("look") == ["2027-04-08", "2027-04-10"] and again.days("taped-try") == ["2027-04-10"]
    assert [(one["latest"], one["at"]) for one in again.deadlines("entry")] == [
        ("2027-04-11", "2027-04-11T20:00:00-05:00")
    ]
    assert again.steps("closed cover") and not again.verbs & {"even"}


def test_sides_scraped_raw_are_left_alone(found: Found) -> None:
    """Sore but never raw (common practice, no source)."""
    raw = found["raw-side"]
    assert raw.refused("scrape finger sides") == [("2027-04-07", "open-skin", True)]
    assert raw.today["avoid"] == ["crack"] and raw.days("look")[0] == "2027-04-12"


def test_a_try_that_came_too_late_for_the_entry_is_missed_and_one_before_the_event_is_left(found: Found) -> None:
    """The event's own rule: half past eleven in the evening there is the next noon here."""
    far = found["closes-tonight-far-away"]
    tries = [(one["latest"], one["state"]) for one in far.deadlines("taped-try")]
    assert tries == [("2027-04-06", "missed"), ("2027-04-08", "due")]
    assert far.fallbacks()["stand-in"]["by"] == "2027-04-07T23:30:00-10:00"
    assert far.limits()["2027-04-08"]["hard_tries"] == 5


def test_a_torn_palm_does_not_stand_in_the_way_of_crimps(found: Found) -> None:
    """Which zone, against what the event demands (common practice, no source)."""
    palm = found["palm-and-crimps"]
    assert palm.today["may_climb"] == "not-those-holds" and "crimp" not in palm.today["avoid"]
    assert palm.days("taped-try") == [] and palm.codes() == []


def test_a_blood_blister_is_left_closed_and_tried_taped(found: Found) -> None:
    """Usable taped after 2-4 days (common practice, no source)."""
    blister = found["blood-blister"]
    assert blister.days("taped-try") == ["2027-04-09"] and not blister.steps("clip edges", "thin rim", "glue")


def test_what_was_found_in_the_last_event_counts_for_the_next(found: Found) -> None:
    """All relax and the split is neglected (judgement): looks and a try are dated the day after."""
    after = found["found-in-the-event"]
    assert [one["event_id"] for one in after.entries] == ["found-in-the-event-e2"]
    assert after.days("look") == ["2027-04-14", "2027-04-18"] and after.days("taped-try") == ["2027-04-18"]


def test_glassy_skin_gets_no_agent_but_cream_and_a_file(found: Found) -> None:
    """Glassy tips take 2-7 days to be usable (common practice, no source); brittle skin wants grease (label)."""
    glassy = found["glassy"]
    assert {row[1] for row in glassy.refused("methenamine spray")} >= {"skin-kind"}
    assert glassy.steps("level callus") and glassy.steps("humectant cream")
    offered = {form for one in glassy.athlete["refused"] for form in one["instead"]}
    assert offered and not offered & {"fan", "alcohol base", "fine chalk", "aluminium salt"}


def test_of_two_agents_on_one_day_the_tolerated_one_stays(found: Found) -> None:
    """One change at a time (common practice, no source)."""
    two = found["known-and-new"]
    assert [one["date"] for one in two.steps("aluminium salt")] == ["2027-04-08"]
    assert two.refused("methenamine spray") == [("2027-04-08", "clash", False)] and two.refused("aluminium salt") == []


def test_a_weak_spray_that_was_tolerated_goes_on_and_a_strong_cream_does_not_begin(found: Found) -> None:
    """A weak spray may be used on the day (common practice, no source); no first use inside 14 days (judgement)."""
    spray = found["weak-spray"]
    days = ["2027-04-07", "2027-04-08", "2027-04-09", "2027-04-10"]
    assert [one["date"] for one in spray.steps("methenamine spray")] == days
    assert ("2027-04-09", "timing", False) in spray.refused("methenamine cream")


def test_dry_skin_gets_no_agent_in_damp_air_either(found: Found) -> None:
    """Dry skin often gets better in damp air (judgement); agents are wrong for it (common practice, no source)."""
    dry = found["dry-in-damp-air"]
    assert ("2027-04-08", "skin-kind", False) in dry.refused("aluminium salt")
    assert ("2027-04-09", "skin-kind", False) in dry.refused("alcohol base")
    assert dry.deadlines("rehearsal-start") == [] and dry.steps("humectant cream")


def test_a_signature_that_runs_out_ends_the_course(found: Found) -> None:
    """Under 18 only after guardian and medical sign-off (label age rule and guardian consent)."""
    lapses = found["signature-runs-out"]
    assert [one["date"] for one in lapses.steps("aluminium salt")] == ["2027-04-08"]
    assert lapses.refused("aluminium salt") == [("2027-04-16", "age", True)]


def test_what_a_body_forbids_is_a_hard_stop(found: Found) -> None:
    """Hospital leaflet on iontophoresis; label of a methenamine ointment; numb skin feels no rawness (judgement)."""
    assert found["heart"].refused("iontophoresis") == [("2027-04-08", "medical", True)]
    assert found["heart"].refused("scrape finger sides") == [("2027-04-08", "medical", True)]
    assert found["pregnant"].refused("methenamine liquid") == [("2027-04-08", "medical", True)]
    assert found["pregnant"].refused("iontophoresis") == [("2027-04-09", "medical", True)]

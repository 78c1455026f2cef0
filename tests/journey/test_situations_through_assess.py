"""Further invented situations that an expert coach would ask about, through the command line.

Beside each stands what argues for the decision: a source, `common practice, no source`, or `judgement`.
"""

from __future__ import annotations

import pytest

from tests.journey.cases import situations
from tests.journey.cases.asked import Answer, answers, situations_text

KINDS = {"crimp", "pocket", "sloper", "jug", "pinch", "swing", "crack"}
Found = dict[str, Answer]


@pytest.fixture(scope="module")
def found() -> Found:
    return answers(situations_text())


def test_a_deep_crease_split_two_days_before_is_out_of_reach(found: Found) -> None:
    """Usable taped after 4-7 days (common practice, no source): day 2 is no day for a try, only for a look."""
    late = found["deep-late"]
    assert late.first["level"] == "out-of-reach"
    assert late.days("taped-try") == [] and late.steps("taped try") == []
    assert all(not one["hard_tries"] for one in late.limits().values())
    assert "protect" not in late.fallbacks()


def test_a_stand_in_is_offered_only_while_entries_can_be_changed(found: Found) -> None:
    """The event's own rule."""
    assert found["deep-late"].fallbacks()["stand-in"]["by"] == "2027-05-13T18:00:00+02:00"
    late = found["deep-too-late"]
    assert "stand-in" not in late.fallbacks() and "withdraw" in late.fallbacks()
    assert [(one["state"], one.get("if")) for one in late.deadlines("entry")] == [("done", None)]


def test_a_shallow_tip_split_five_days_before_can_start_taped(found: Found) -> None:
    """Usable taped after 2-4 days (common practice, no source): a try on D-2 answers it."""
    split = found["shallow"]
    assert split.first["level"] in ("tight", "act")
    assert [(one["latest"], one["if"]) for one in split.deadlines("taped-try")] == [("2027-05-15", "look:2027-05-15")]
    assert split.fallbacks()["protect"]["p_protected"] > 0.8


def test_a_split_the_event_does_not_need_asks_for_nothing(found: Found) -> None:
    """Which finger and zone, against what the event demands (common practice, no source)."""
    other = found["not-needed"]
    assert other.codes() == [] and other.days("look") == [] and other.days("taped-try") == []
    assert other.today["avoid"] == ["crack"] and other.today["sites"] == ["R-ring-thumb-side"]


def test_damage_told_today_ends_a_silence(found: Found) -> None:
    """Judgement: who notices damage has looked at it."""
    told = found["told-today"]
    assert told.athlete["known_until"] == "2027-05-12"
    assert told.today["may_climb"] == "not-those-holds" and told.first["level"] == "tight"


def test_two_open_splits_have_looks_and_a_try_each(found: Found) -> None:
    """Judgement: one closed finger says nothing of the other."""
    both = found["two-hands"]
    sites = {"L-index-tip", "R-ring-tip"}
    assert both.today["may_climb"] == "not-those-holds" and set(both.today["sites"]) == sites
    assert {one["site"] for one in both.deadlines("taped-try")} == sites
    assert sorted(one["site"] for one in both.deadlines("look")) == sorted([*sites, *sites])
    assert {one["site"] for one in both.first["reasons"] if one["code"] == "split"} == sites


def test_three_open_sites_or_strong_pain_are_a_day_off(found: Found) -> None:
    """Judgement."""
    assert found["three-open"].today["may_climb"] == "off"
    assert found["sore"].today["may_climb"] == "off"


def test_two_events_six_days_apart_with_one_deep_split(found: Found) -> None:
    """Usable taped after 4-8 days (judgement): event one is day 5, event two day 11."""
    split = found["two-events"]
    assert [one["level"] for one in split.entries] == ["act", "tight"]
    assert split.days("taped-try", entry=0) == ["2027-05-15"]  # not on day 2, though entries close on the 14th
    assert split.fallbacks(0)["stand-in"]["by"] == "2027-05-14T18:00:00+02:00"
    assert split.fallbacks(0)["lighter-event"]["event_id"] == "two-events-e2"
    assert {"clash", "split"} <= set(split.codes(0)) and {"clash", "split"} <= set(split.codes(1))


def test_who_may_not_be_taped_is_offered_no_tape(found: Found) -> None:
    """A contact allergy to adhesives is a hard stop (published case series of tape and rosin allergy)."""
    bare = found["no-tape"]
    assert bare.steps("session tape", "night tape", "moist cover", "taped try") == []
    assert bare.days("taped-try") == [] and "protect" not in bare.fallbacks()
    assert bare.days("look") and bare.first["level"] != "on-course"


def test_a_closed_split_may_be_climbed_on_taped_and_is_thinned(found: Found) -> None:
    """Only once seen closed (common practice, no source)."""
    closed = found["closed"]
    assert closed.today["may_climb"] == "protected" and closed.today["avoid"] == []
    assert {one["form"] for one in closed.steps()} >= {"session tape", "balm in split", "thin rim"}


def test_a_blister_under_the_middle_pad_stops_swings_and_jugs(found: Found) -> None:
    """Usable taped after 2-4 days, as before after 5-10 (common practice, no source)."""
    blister = found["blister"]
    assert set(blister.today["avoid"]) == {"jug", "swing", "sloper"} and blister.codes()[0] == "tear"
    assert blister.first["level"] == "tight"


def test_a_tip_worn_through_on_a_trip_rests_and_the_trip_goes_on(found: Found) -> None:
    """Usable taped after 3-5 days (common practice, no source): days 2 to 4 are lost, not the trip."""
    trip = found["holed-trip"]
    assert trip.today["may_climb"] == "off" and trip.first["level"] == "act"
    assert [trip.limits()[day]["minutes"] for day in ("2027-05-13", "2027-05-14")] == [0, 0]
    cost = trip.fallbacks()
    assert {"fewer-days", "withdraw"} <= set(cost) and not {"later-arrival", "stand-in"} & set(cost)
    assert cost["withdraw"]["days_lost"] == 7


def test_pink_on_a_trip_rests_two_days_and_meets_no_wood(found: Found) -> None:
    """As before after 2-5 days (common practice, no source); wood is not to be had at a crag."""
    trip = found["pink-trip"]
    days = [trip.limits()[f"2027-05-{day}"] for day in (13, 14, 15, 16)]
    assert trip.today["may_climb"] == "off"
    assert [one["hard_tries"] for one in days] == [0, 0, 0, 10]
    assert [one["surface"] for one in days] == [None, None, "sharp rock", "sharp rock"]
    assert days[3]["if"] == "look:2027-05-15"


def test_a_flapper_hurts_by_its_place(found: Found) -> None:
    """Common practice, no source: a torn tip ends crimping, a torn base pad does not."""
    assert "crimp" in found["flapper-tip"].today["avoid"]
    assert set(found["flapper-base"].today["avoid"]) == {"jug", "swing", "sloper"}


@pytest.mark.parametrize("flag", [*situations.SAME_DAY_FLAGS, *situations.EMERGENCY_FLAGS])
def test_a_red_flag_outranks_everything(found: Found, flag: str) -> None:
    """NHS wound-infection signs; MSD Manual on flexor tenosynovitis; NHS page on herpetic whitlow."""
    flagged = found[f"flag-{flag}"]
    assert flagged.athlete["medical"] == ("emergency" if flag in situations.EMERGENCY_FLAGS else "today")
    assert flagged.today["may_climb"] == "medical" and set(flagged.today["avoid"]) == KINDS
    assert flagged.first["level"] == "out-of-reach" and flagged.codes()[0] == "medical"
    assert flagged.steps() == [] and {one["kind"] for one in flagged.first["deadlines"]} <= {"entry"}
    for form in ("session tape", "glue", "sand", "night tape"):
        assert ("medical", True) in {row[1:] for row in flagged.refused(form)}


def test_nothing_under_a_red_flag_proposes_to_climb(found: Found) -> None:
    """Judgement: under a medical stop only who decides, who goes instead, and the way out."""
    flagged = found["flag-pus"]
    assert set(flagged.fallbacks()) == {"medical", "stand-in", "withdraw"}
    assert all(one["minutes"] == 0 for one in flagged.limits().values())
    offered = {form for one in flagged.athlete["refused"] for form in one["instead"]}
    assert offered <= {"rest hand", "rest site"}


def test_dirty_bitten_or_deep_wounds_are_seen_the_same_day(found: Found) -> None:
    """NHS practice page on wounds at risk; StatPearls on glue: never deep, dirty or infected."""
    cut, bite, graze = found["dirty-cut"], found["bitten"], found["tetanus"]
    assert cut.athlete["medical"] == bite.athlete["medical"] == "today"
    assert graze.athlete["medical"] == "ask" and graze.codes()[0] == "medical"
    assert {("2027-05-12", "medical", True), ("2027-05-12", "open-skin", True)} == set(cut.refused("glue"))
    assert found["deep-split-glue"].refused("glue") == [("2027-05-13", "open-skin", True)]


def test_a_tolerated_agent_goes_on_until_the_third_day_before(found: Found) -> None:
    """Judgement on Cullen 1975: no first use, but the last coat not after D-3."""
    user = found["tolerant"]
    assert user.refused("methenamine cream") == [("2027-05-16", "timing", False)]
    assert [one["date"] for one in user.steps("methenamine cream")] == ["2027-05-14"]
    assert [(one["latest"], one["state"]) for one in user.deadlines("agent-stop")] == [("2027-05-15", "open")]


def test_agents_are_wrong_for_dry_skin(found: Found) -> None:
    """Common practice, no source; stop by D-14 because a third keep an effect for 1-3 weeks (Cullen 1975)."""
    for name, state in (("dry-20", "open"), ("dry-10", "missed")):
        dry = found[name]
        assert ("2027-05-14", "skin-kind", False) in dry.refused("methenamine cream")
        assert dry.steps("methenamine cream") == [] and "agent" in dry.codes()
        assert [one["state"] for one in dry.deadlines("agent-stop")] == [state]
        offered = {form for one in dry.athlete["refused"] for form in one["instead"]}
        assert "humectant cream" in offered and not offered & {"fan", "alcohol base"}


def test_no_first_and_no_second_agent_in_the_last_days(found: Found) -> None:
    """Aluminium: a third irritated (Goh 1990), so no first use inside 7-10 days. Second agent: judgement."""
    assert found["aluminium-5"].refused("aluminium salt") == [("2027-05-12", "timing", False)]
    assert found["second-agent"].refused("aluminium salt") == [("2027-05-12", "clash", False)]
    assert found["early-first-use"].refused("methenamine cream") == []
    assert found["early-first-use"].steps("methenamine cream")


def test_implant_allergy_and_reaction_are_hard_stops(found: Found) -> None:
    """Hospital leaflet on iontophoresis; label of a methenamine ointment; stop at a rash and ask a doctor."""
    assert found["implant"].refused("iontophoresis") == [("2027-05-13", "medical", True)]
    assert found["formaldehyde"].refused("methenamine spray") == [("2027-05-13", "allergy", True)]
    reacted = found["reacted"]
    assert reacted.refused("methenamine cream") == [("2027-05-13", "allergy", True)]
    assert reacted.athlete["medical"] == "ask" and reacted.days("agent-stop") == []
    offered = {form for one in reacted.athlete["refused"] for form in one["instead"]}
    assert offered and not offered & {"aluminium salt", "iontophoresis"}


@pytest.mark.parametrize("name", ["minor-unsigned", "minor-guardian", "minor-medical", "minor-lapsed", "under-12"])
def test_a_minor_gets_no_agent_without_both_signatures(found: Found, name: str) -> None:
    """Label age rule; guardian and doctor or pharmacist (our policy). Under 12 no signature helps."""
    minor = found[name]
    assert minor.refused("iontophoresis") == [("2027-05-13", "age", True)]
    assert minor.steps("iontophoresis") == []
    pending = [one["state"] for one in minor.deadlines("medical-signoff")]
    assert pending == ([] if name == "under-12" else ["open"])


def test_a_minor_with_both_signatures_may(found: Found) -> None:
    """Our policy: both in force on the day of the use."""
    minor = found["minor-both"]
    assert minor.refused("iontophoresis") == [] and minor.steps("iontophoresis")
    assert [one["state"] for one in minor.deadlines("medical-signoff")] == ["done"]


def test_nothing_is_filed_on_the_eve_or_on_pink(found: Found) -> None:
    """Judgement: level on D-3 or D-2; never on pink (common practice, no source)."""
    eve = found["sand-eve"]
    assert eve.refused("sand") == [("2027-05-16", "timing", False)]
    assert [one["date"] for one in eve.steps("sand")] == ["2027-05-14"]
    assert found["sand-on-pink"].refused("sand") == [("2027-05-13", "open-skin", True)]
    assert found["cream-and-file"].refused("level callus") == [("2027-05-13", "clash", False)]


def test_grease_belongs_after_climbing(found: Found) -> None:
    """Never right before climbing (common practice, no source); what is offered may go on before."""
    cream = found["cream-first"]
    rows = {one["form"]: one for one in cream.athlete["refused"]}
    assert set(rows) == {"oil-based cream", "wax balm", "humectant cream"}
    assert {one["class"] for one in rows.values()} == {"timing"}
    assert all("water-based cream" in one["instead"] and not set(rows) & set(one["instead"]) for one in rows.values())
    assert [one["part"] for one in cream.steps("oil-based cream")] == ["night"]


def test_a_toughening_run_is_begun_only_if_it_can_end(found: Found) -> None:
    """A run of 7-10 evenings that ends three days before (common practice, no source)."""
    assert [(one["latest"], one["state"]) for one in found["crack-16"].deadlines("toughen-start")] == [
        ("2027-05-16", "open")
    ]
    assert [one["state"] for one in found["crack-6"].deadlines("toughen-start")] == ["missed"]
    assert "toughening" in found["crack-6"].codes()
    late, in_time = found["crack-run-late"], found["crack-run-in-time"]
    assert late.steps("scrape finger sides") == [] and len(late.refused("scrape finger sides")) == 8
    assert in_time.refused("scrape finger sides") == [] and len(in_time.steps("scrape finger sides")) == 8
    assert found["crack-eve"].refused("scrape finger sides") == [("2027-05-17", "timing", False)]
    assert found["crack-minor"].refused("scrape finger sides") == [("2027-05-12", "age", True)]


def test_silence_is_not_known_from_the_fourth_day(found: Found) -> None:
    """The glossary: silence over three days."""
    three, four = found["silent-3"], found["silent-4"]
    assert (three.first["level"], three.today["may_climb"]) == ("on-course", "free")
    assert (four.first["level"], four.today["may_climb"]) == ("not-known", "not-known")
    assert four.codes()[0] == "silence"
    width = [one.first["readiness"]["high"] - one.first["readiness"]["low"] for one in (found["calm"], three, four)]
    assert width == sorted(width)


def test_events_of_today_of_the_past_and_withdrawn_ones(found: Found) -> None:
    """Judgement: nothing can be worked back from a day that has come."""
    assert found["event-today"].first["deadlines"] == []
    assert found["event-past"].entries == []
    assert [one["event_id"] for one in found["withdrawn"].entries] == ["withdrawn-e2"]
    assert found["away"].first["level"] == "on-course"


@pytest.mark.parametrize("name", ["far-east", "far-west"])
def test_entries_far_away_close_on_the_earlier_of_both_days(found: Found, name: str) -> None:
    """Judgement: six in the morning there may be the evening before here; nobody acts a day late."""
    far = found[name]
    assert far.days("entry") == ["2027-05-13"] and far.deadlines("entry")[0]["slack_days"] == 1
    assert far.deadlines("entry")[0]["at"] == far.fallbacks()["stand-in"]["by"]


def test_ranges_hold_their_chance(found: Found) -> None:
    ranges = [one["readiness"] for answer in found.values() for one in answer.entries]
    assert len(ranges) > 60
    assert all(0 <= one["low"] <= one["p"] <= one["high"] <= 1 for one in ranges)

"""Six more invented cases and their neighbours, through the command line: what must be decided, and what must not.

The decisions are expert judgement on working ranges; beside each stands its source, `common practice, no source`, or
`judgement`. What needs a phone, a photo or a print is proven elsewhere.
"""

from __future__ import annotations

import pytest

from tests.journey.cases import told_more
from tests.journey.cases.asked import Answer, answers, more_text

AGENTS = ("methenamine spray", "methenamine liquid", "methenamine cream", "aluminium salt", "iontophoresis")
KINDS = {"crimp", "pocket", "sloper", "jug", "pinch", "swing", "crack"}
PINK = {"L-index-tip", "L-middle-tip", "R-middle-tip"}
Found = dict[str, Answer]


@pytest.fixture(scope="module")
def found() -> Found:
    return {key: one for day in told_more.MORE for key, one in answers(more_text(day)).items()}


def numbers(answer: Answer, code: str) -> dict[str, object]:
    (one,) = [row for row in answer.first["reasons"] if row["code"] == code]
    return one["numbers"]


def of_form(answer: Answer, kind: str, form: str | None) -> list[tuple[str, str]]:
    return [(one["latest"], one["state"]) for one in answer.deadlines(kind) if one.get("form") == form]


# --- damp skin, humid venue -------------------------------------------------------------------------------------------


def test_a_course_of_iontophoresis_has_its_last_first_day(found: Found) -> None:
    """10-12 treatments three times a week (Dermatologica 1987;175:126-135; Siah and Hampton 2013), ended on D-3."""
    assert of_form(found["linh"], "agent-start", "iontophoresis") == [("2027-05-12", "due")]
    assert of_form(found["linh"], "agent-stop", "iontophoresis") == [("2027-06-10", "open")]
    assert found["linh"].first["level"] == "act"
    assert of_form(found["linh-29"], "agent-start", "iontophoresis") == [("2027-05-08", "missed")]
    assert of_form(found["linh-31"], "agent-start", "iontophoresis") == [("2027-05-10", "due")]


def test_a_first_course_is_watched_two_days_before_it_and_travel_ends_it(found: Found) -> None:
    """Judgement: two days' trial before; no treatment on the way."""
    assert of_form(found["linh-new"], "agent-first-use", "iontophoresis") == [("2027-05-10", "due")]
    assert of_form(found["linh-travels"], "agent-start", "iontophoresis") == [("2027-05-11", "due")]


def test_the_zone_of_the_athlete_moves_no_day(found: Found) -> None:
    for kind in ("agent-start", "agent-stop", "rehearsal-start", "even-last"):
        assert found["linh-auckland"].days(kind) == found["linh"].days(kind)


def test_the_dew_points_apart_are_shown_and_no_friction_is(found: Found) -> None:
    """24.8 against 9.5 degrees: Magnus form of the dew point, by hand."""
    apart = numbers(found["linh"], "air")["dew_point_difference_c"]
    assert apart == pytest.approx(15.3, abs=0.3)  # a place's day is a mean of three hours, rounded to a tenth
    assert "friction" not in more_text(told_more.LINH_DAY).casefold()


def test_two_rehearsals_end_by_the_tenth_day(found: Found) -> None:
    """Judgement: the first three days before the second."""
    assert found["linh"].days("rehearsal-start") == ["2027-05-30"]
    assert found["linh-same-air"].days("rehearsal-start") == []
    assert of_form(found["linh-same-air"], "agent-start", "iontophoresis") == []


def test_no_second_agent_in_the_last_week(found: Found) -> None:
    """Judgement: one change at a time (common practice, no source)."""
    both = found["linh-second"]
    assert ("2027-06-06", "clash", False) in both.refused("aluminium salt")
    assert ("2027-06-07", "clash", False) in both.refused("methenamine spray")
    assert both.refused("iontophoresis") == [] and len(both.steps("iontophoresis")) == 13
    assert both.steps("aluminium salt", "methenamine spray") == []


# --- dry skin, arid crag ----------------------------------------------------------------------------------------------


def test_the_teams_agent_is_refused_to_dry_skin_and_ends_two_weeks_before(found: Found) -> None:
    """Wrong for dry skin (common practice, no source); a third keep an effect for 1-3 weeks (Cullen 1975)."""
    for name, last, state in (("tenzin", "2027-09-04", "open"), ("tenzin-14", "2027-08-30", "due")):
        assert of_form(found[name], "agent-stop", "methenamine cream") == [(last, state)]
        assert ("2027-09-01", "skin-kind", False) in found[name].refused("methenamine cream")
        assert found[name].steps(*AGENTS) == [] and "agent" in found[name].codes()
    assert of_form(found["tenzin-13"], "agent-stop", "methenamine cream") == [("2027-08-29", "done")]


def test_mixed_skin_may_keep_what_it_tolerates_until_the_third_day_before(found: Found) -> None:
    """Judgement on Cullen 1975."""
    mixed = found["tenzin-mixed"]
    assert mixed.refused("methenamine cream") == [] and len(mixed.steps("methenamine cream")) == 4
    assert of_form(mixed, "agent-stop", "methenamine cream") == [("2027-09-15", "open")]


def test_dry_skin_gets_cream_every_night_and_an_occlusive_on_the_way(found: Found) -> None:
    """Acta Derm Venereol 2017;97 (14 days of a humectant); petrolatum halves water loss (1992;72:327-330)."""
    dry = found["tenzin"]
    nights = {one["date"] for one in dry.steps("humectant cream")}
    assert nights == {"2027-08-30", "2027-08-31", *(f"2027-09-0{n}" for n in range(1, 6))}
    assert ("2027-09-16", "day") in {(one["date"], one["part"]) for one in dry.steps("occlusive ointment")}
    assert of_form(dry, "soften-start", "humectant cream") == [("2027-09-04", "open")]
    assert found["tenzin-mixed"].steps("humectant cream", "occlusive ointment") == []


def test_dry_air_is_no_gift(found: Found) -> None:
    """Judgement: the two ends fail; 25 degrees of dew point drier costs dry skin."""
    assert {"dryness", "air"} <= set(found["tenzin"].codes())
    assert numbers(found["tenzin"], "air")["dew_point_difference_c"] == pytest.approx(-25, abs=0.3)
    assert numbers(found["tenzin"], "air")["effect"] > 0
    assert found["tenzin"].first["readiness"]["p"] < found["tenzin-mixed"].first["readiness"]["p"]


# --- a minor with an allergy ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["aiko", "aiko-guardian", "aiko-both", "aiko-adult", "aiko-methenamine"])
def test_an_allergy_to_the_releaser_is_a_hard_stop_at_any_age_with_any_signature(found: Found, name: str) -> None:
    """Label of a methenamine ointment; one sensitised adult who tolerated it (Cullen 1975) clears nobody."""
    for form in ("methenamine spray", "methenamine cream"):
        assert ("2027-06-03", "allergy", True) in found[name].refused(form)
        assert found[name].steps(form) == [] and of_form(found[name], "agent-first-use", form) == []


@pytest.mark.parametrize("name", ["aiko", "aiko-guardian", "aiko-day-short"])
def test_under_eighteen_every_agent_waits_for_both_signatures(found: Found, name: str) -> None:
    """Our policy from the label's age rule. The seventh of June is the last day for the slowest way."""
    minor = found[name]
    assert ("2027-06-05", "age", True) in minor.refused("aluminium salt")
    assert ("2027-06-06", "age", True) in minor.refused("iontophoresis")
    assert minor.steps(*AGENTS) == []
    assert of_form(minor, "medical-signoff", "iontophoresis") == [("2027-06-07", "open")]
    offered = {form for one in minor.athlete["refused"] for form in one["instead"]}
    assert "fan" in offered and not offered & set(AGENTS)


def test_signed_or_grown_up_may_start_what_holds_no_releaser(found: Found) -> None:
    for name in ("aiko-both", "aiko-adult"):
        allowed = found[name]
        assert allowed.refused("aluminium salt") == allowed.refused("iontophoresis") == []
        assert len(allowed.steps("aluminium salt")) == len(allowed.steps("iontophoresis")) == 1
    assert found["aiko-clear"].refused("methenamine spray") == []


def test_under_twelve_no_signature_helps(found: Found) -> None:
    """German health portal on methenamine: not under 12."""
    child = found["aiko-eleven"]
    assert all((day, "age", True) in child.refused(form) for form, day in
               (("methenamine spray", "2027-06-03"), ("aluminium salt", "2027-06-05"), ("iontophoresis", "2027-06-06")))
    assert child.deadlines("medical-signoff") == [] and child.steps(*AGENTS) == []


# --- infection on a trip ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "grade"),
    [
        ("lucia", "today"), ("lucia-auckland", "today"), ("lucia-blisters", "today"),
        ("lucia-joint", "emergency"), ("lucia-straight", "emergency"),
    ],
)  # fmt: skip
def test_infection_outranks_everything(found: Found, name: str, grade: str) -> None:
    """NHS wound-infection signs; a handout on paronychia; MSD Manual on flexor tenosynovitis; NHS on whitlow."""
    ill = found[name]
    assert ill.athlete["medical"] == grade
    assert (ill.today["may_climb"], set(ill.today["avoid"])) == ("medical", KINDS)
    assert ill.first["level"] == "out-of-reach" and ill.codes()[0] == "medical" and ill.steps() == []
    for form in ("session tape", "glue", "sand", "wax balm"):
        assert ("2027-09-10", "medical", True) in ill.refused(form)
    assert "protect" not in ill.fallbacks() and all(one["minutes"] == 0 for one in ill.limits().values())


def test_without_a_sign_or_once_seen_by_medical_it_is_an_open_split(found: Found) -> None:
    for name in ("lucia-well", "lucia-seen"):
        assert found[name].athlete["medical"] == "none"
        assert found[name].today["may_climb"] == "off" and found[name].steps("session tape")  # pain 7 on a pull


# --- equal answers, another's eyes ------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "answers_"), [("dmitri", 9), ("dmitri-7", 7), ("dmitri-medical", 9)])
def test_equal_calm_answers_against_a_sighting_ask_for_a_look_at_the_next_session(
    found: Found, name: str, answers_: int
) -> None:
    """Staff reactions drive honesty (2023 study); seven in a row: judgement."""
    differ = found[name]
    (row,) = [one for one in differ.first["reasons"] if one["code"] == "disagreement"]
    assert (row["date"], row["numbers"]["answers"], row["numbers"]["sites"]) == ("2027-11-03", answers_, 3)
    looks = {(one["latest"], one["site"]) for one in differ.deadlines("look")}
    assert {("2027-11-03", site) for site in PINK} <= looks
    assert "lying" not in more_text(told_more.DMITRI_DAY) and "honest" not in more_text(told_more.DMITRI_DAY)


@pytest.mark.parametrize("name", ["dmitri-6", "dmitri-unseen", "dmitri-old", "dmitri-told-pain"])
def test_nothing_is_flagged_short_of_it(found: Found, name: str) -> None:
    """Six in a row, no other eyes, eyes of four days ago, or an answer that tells of pain."""
    assert "disagreement" not in found[name].codes()


def test_both_records_are_kept(found: Found) -> None:
    """The sighting counts, the answers still end the silence."""
    assert set(found["dmitri"].today["sites"]) == PINK and found["dmitri"].athlete["known_until"] == "2027-11-02"
    assert found["dmitri-unseen"].today["sites"] == []


# --- a youth squad on the eve ----------------------------------------------------------------------------------------


def test_the_missing_are_not_known_and_not_fit(found: Found) -> None:
    for n in (22, 23, 24):
        gone = found[f"y{n}"]
        assert (gone.first["level"], gone.today["may_climb"]) == ("not-known", "not-known")
        assert gone.codes()[0] == "silence" and gone.athlete["known_until"] == "2027-06-06"


def test_open_pink_and_glassy_are_told_apart(found: Found) -> None:
    holds = {name: set(found[name].today["avoid"]) for name in ("y01", "y02", "y03", "y04", "y09")}
    assert "crimp" in holds["y01"] and "jug" in holds["y02"] and "jug" in holds["y03"]
    assert all(found[f"y{n:02}"].today["may_climb"] == "not-those-holds" for n in (1, 2, 3))
    assert all(found[f"y{n:02}"].today["may_climb"] == "off" for n in range(4, 9))
    assert all("glassy" in found[f"y{n:02}"].codes() for n in (9, 10))
    assert all(found[f"y{n}"].today["may_climb"] == "free" for n in range(11, 22))


def test_nobody_is_told_to_rest_on_the_day_of_the_competition(found: Found) -> None:
    """Judgement: it is climbed or given up; cover goes on all the same."""
    for n in range(1, 9):
        steps = found[f"y{n:02}"].steps("rest day", "rest site")
        assert all(one["date"] != "2027-06-12" for one in steps)

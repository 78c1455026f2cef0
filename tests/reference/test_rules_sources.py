"""The rules against what others have published: labels, health services, trials, a worked network. One source
a test.
"""

from __future__ import annotations

from datetime import timedelta

import pytest

from coaching.rules import medical, rulebook
from coaching.rules.facts import CheckInFact
from coaching.rules.schedule import Activity, latest_starts, windows
from tests import cast
from tests.cast import day

TODAY = day("5-3")


def graded(*flags: str) -> str:
    return medical.grade(cast.athlete(TODAY, checkins=(CheckInFact(TODAY, red_flags=flags),)), TODAY)


NETWORK = (
    Activity("A", 3),
    Activity("B", 4, ("A",)),
    Activity("C", 2, ("A",)),
    Activity("D", 5, ("B",)),
    Activity("E", 1, ("C",)),
    Activity("F", 2, ("C",)),
    Activity("G", 4, ("D", "E")),
    Activity("H", 3, ("F", "G")),
)
"""Worked example of the critical path method (Kelley and Walker 1959). The network is from memory; every
figure of it was worked through by hand again: the longest path A-B-D-G-H is 3 + 4 + 5 + 4 + 3 = 19.
"""


@pytest.mark.parametrize(
    ("name", "figures"),
    [
        ("A", (0, 3, 0, 3, 0)),
        ("B", (3, 7, 3, 7, 0)),
        ("C", (3, 5, 9, 11, 6)),
        ("D", (7, 12, 7, 12, 0)),
        ("E", (5, 6, 11, 12, 6)),
        ("F", (5, 7, 14, 16, 9)),
        ("G", (12, 16, 12, 16, 0)),
        ("H", (16, 19, 16, 19, 0)),
    ],
)
def test_critical_path_of_eight_activities(name: str, figures: tuple[int, ...]) -> None:
    """Kelley and Walker 1959: earliest start and finish, latest start and finish, slack. Whole days, so
    exact.
    """
    one = windows(NETWORK)[name]
    found = (
        one.earliest_start_d,
        one.earliest_finish_d,
        one.latest_start_d,
        one.latest_finish_d,
        one.slack_d,
    )
    assert found == figures


def test_backward_pass_from_a_date_is_the_latest_start() -> None:
    """Kelley and Walker 1959: planning back from a date is the latest-start pass; here 2 + 28 days before 9
    June.
    """
    found = latest_starts(day("6-9"), [("trial", 2), ("course", 28)])
    assert found == {"trial": day("5-10"), "course": day("5-12")}


@pytest.mark.parametrize("flag", ["swelling", "spreading-redness", "rising-pain", "pus", "swollen-glands"])
def test_signs_of_infection_are_seen_today(flag: str) -> None:
    """NHS-supplied text on cuts (2018): infected if swollen, red, more painful, pus, swollen glands: get it
    seen.
    """
    assert graded(flag) == "today"


def test_fever_with_a_wound_is_an_emergency_here() -> None:
    """NHS-supplied text (2018) counts 38 C or more among the signs; graded one step higher than it asks for.
    """
    assert graded("fever") == "emergency"


def test_a_red_streak_is_for_straight_away() -> None:
    """Healthify NZ, Infected cut: a red streak from the wound needs medical help straight away."""
    assert graded("streak") == "emergency"


@pytest.mark.parametrize("flag", ["redness-past-joint", "cannot-bend"])
def test_redness_past_the_joint_or_a_stiff_finger_is_an_emergency(flag: str) -> None:
    """Patient handout on paronychia: redness down the finger, or joints that do not move: emergency
    department.
    """
    assert graded(flag) == "emergency"


def test_pain_on_straightening_is_an_emergency() -> None:
    """MSD Manual, infectious flexor tenosynovitis: pain when the finger is straightened is one of its four
    signs.
    """
    assert graded("pain-on-straightening") == "emergency"


def test_painful_blisters_are_seen_within_two_days() -> None:
    """NHS page on herpetic whitlow: see a GP within 48 h; `today` is inside that."""
    assert graded("clear-blisters") == "today"


@pytest.mark.parametrize("worry", ["dirty", "bite", "object-inside"])
def test_wounds_at_risk_are_seen_today(worry: str) -> None:
    """NHS practice page and NHS-supplied text: dirt, bite, foreign body: GP or 111."""
    hurt = cast.split(TODAY, "L-index-tip", worries=(worry,), depth=None)
    assert medical.grade(cast.athlete(TODAY, episodes=(hurt,)), TODAY) == "today"


def test_a_deep_wound_with_tetanus_not_known_is_seen_today() -> None:
    """NHS practice page: deep, or tetanus doses incomplete or unknown: GP or 111. Shallow: our own grade,
    ask.
    """
    deep = cast.split(TODAY, "L-index-tip", worries=("tetanus-unknown",))
    assert medical.grade(cast.athlete(TODAY, episodes=(deep,)), TODAY) == "today"


@pytest.mark.parametrize("form", ["methenamine spray", "methenamine liquid", "methenamine cream"])
def test_methenamine_is_not_for_children_under_twelve(form: str) -> None:
    """German health portal on methenamine: not under 12 years, data are not sufficient."""
    assert rulebook.current().forms[form].minimum_age == 12


@pytest.mark.parametrize("form", ["methenamine spray", "methenamine liquid", "methenamine cream"])
def test_methenamine_stops_that_its_label_names(form: str) -> None:
    """Label of a 13 % ointment: formaldehyde or methenamine allergy, weeping or injured skin, pregnancy,
    breast-feeding.
    """
    rule = rulebook.current().forms[form]
    assert {"formaldehyde", "methenamine"} <= set(rule.sensitivities)
    assert {"pregnancy", "breast-feeding"} <= set(rule.contraindications)
    assert {"open", "closing"} <= set(rule.not_on)


@pytest.mark.parametrize("form", ["methenamine spray", "methenamine liquid", "methenamine cream"])
def test_methenamine_is_not_begun_inside_the_carry_over_that_a_third_kept(form: str) -> None:
    """Cullen 1975, Arch Dermatol 111:1158: about a third kept relief 1-3 weeks after stopping; so carry-over
    ends at 21 days and no first use falls inside its middle, 14 days.
    """
    rule = rulebook.current().forms[form]
    assert 7 <= rule.carry_over_days[0] <= rule.carry_over_days[1] == 21
    assert rule.no_first_use_days == 14


def test_aluminium_salt_acts_and_fades_in_days() -> None:
    """Goh 1990, doi 10.1111/j.1365-4362.1990.tb04766.x: gone within 48 h, near the start after a week; so
    used to the eve.
    """
    rule = rulebook.current().forms["aluminium salt"]
    assert rule.carry_over_days == (2, 7)
    assert rule.stop_days == 1


def test_iontophoresis_stops_that_the_clinic_names() -> None:
    """University dermatology page and leaflet: pregnancy, implants, metal, epilepsy, heart disease, numb
    skin.
    """
    rule = rulebook.current().forms["iontophoresis"]
    named = {"pregnancy", "implant", "metal", "epilepsy", "heart", "numb-skin"}
    assert named <= set(rule.contraindications)


def test_iontophoresis_course_holds_the_treatments_of_the_trials() -> None:
    """Dermatologica 1987;175:126: control after 10-12 treatments; Siah and Hampton 2013: three a week for
    four weeks.
    """
    rule = rulebook.current().forms["iontophoresis"]
    treatments = [days * 3 / 7 for days in rule.run_days]
    assert 10 <= treatments[0] <= treatments[1] == 12


def test_glue_stays_off_deep_damage_and_creases() -> None:
    """StatPearls on 2-octyl cyanoacrylate: clean, superficial, low tension; Cutis 2014;94:183: allergy to
    acrylates.
    """
    rule = rulebook.current().forms["glue"]
    assert rule.not_deep and "acrylate" in rule.sensitivities
    assert not {"tip-crease", "middle-crease", "base-crease"}.intersection(rule.zones)


def test_toughening_is_a_run_of_seven_to_ten_evenings() -> None:
    """Common practice, no source: 7 to 10 evenings, so the late end of the run is 10."""
    assert rulebook.current().deadlines["toughen"].days == (8, 10)
    facts = cast.athlete(TODAY, entries=(cast.entry(day("6-1"), styles=("crack",)),))
    found = cast.first(cast.concluded(facts, cast.numbers(cast.chance(0.7)), TODAY))
    start, stop = (cast.of_kind(found, kind)[0].latest for kind in ("toughen-start", "toughen-stop"))
    assert stop - start == timedelta(days=9)

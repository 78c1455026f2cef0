"""Twenty things that somebody of the trade would laugh at, and what holds each: a check that stands elsewhere, named
here so that it cannot go away unnoticed, or one below. Source of all of them: common practice, no source.
"""

from __future__ import annotations

import ast
import re
from datetime import date
from pathlib import Path

import pytest

from athletes.records.histories_raw import SOURCES
from coaching.drawing.zones import all_sites
from coaching.rules import rulebook
from coaching.rules.conclusions import Today
from coaching.wording import deadlines, levels, reasons, sites, spoken, verdicts
from tests import shown_cast as cast

ROOT = Path(__file__).parents[2]
FORMS = rulebook.current().forms
HELD: dict[int, tuple[str, ...]] = {
    1: ("a reason names its finger",
        "unit/test_wording_reasons.py::test_an_open_crease_split_is_doubtful_with_both_dates"),
    2: ("left and right are told apart", "unit/test_drawing_hands.py::test_turning_swaps_the_hands_and_nothing_else"),
    3: ("unit/test_rules_reasons.py::test_two_weeks_away_are_a_layoff_where_they_are_known",
        "unit/test_rules_reasons.py::test_a_layoff_counts_for_two_weeks_after_the_return"),
    4: ("no text gives a friction from the weather", "contract/test_common_practice.py::air_forbids_no_day"),
    5: ("unit/test_rules_deadlines.py::test_dry_skin_stops_every_agent_two_weeks_before_and_begins_cream",
        "unit/test_rules_deadlines.py::test_damp_skin_in_damper_air_begins_the_long_course_before_travel_and_rehearses"),
    6: ("unit/test_rules_deadlines.py::test_last_use_of_each_agent",
        "unit/test_rules_pauses.py::test_cream_of_any_strength_ends_on_the_third_day_before"),
    7: ("time back is a range", "property/test_healing_order.py::test_chances_grow_with_the_days_and_keep_their_order"),
    8: ("a morning asks seven things at most",),
    9: ("nothing has to be dragged", "journey/test_pocket_in_browser.py::test_a_session_is_counted_with_one_thumb"),
    10: ("journey/test_no_signal.py::test_a_week_of_check_ins_goes_once_there_is_a_signal",),
    11: ("levels are told apart without colour",
         "unit/test_sheets_event_sheet.py::test_it_is_black_and_grey_only",
         "unit/test_sheets_papers.py::test_each_is_tagged_titled_grey_a4"),
    12: ("unit/test_rules_levels.py::test_silence_over_three_days_is_not_known",
         "property/test_silence.py::test_silence_widens",
         "unit/test_load.py::test_an_unknown_day_is_counted_not_zeroed"),
    13: ("rest is named in time",),
    14: ("nobody is greased before climbing", "contract/test_common_practice.py::grease_at_night"),
    15: ("unit/test_load.py::test_order_of_surfaces", "unit/test_load.py::test_tries_stand_before_minutes"),
    16: ("no conclusion is drawn from a photo",),
    17: ("no grit is given", "contract/test_common_practice.py::test_contradictions_hold_no_form_and_assert_nothing"),
    18: ("unit/test_drawing_zones.py::test_thumbs_point_outwards_and_little_fingers_inwards",
         "unit/test_drawing_zones.py::test_the_thumb_side_faces_the_thumb"),
    19: ("unit/test_event_page.py::test_the_page_is_well_formed_and_says_its_caution_once",
         "unit/test_wording_reasons.py::test_medical_says_where_to_go"),
    20: ("nobody is praised for answering",),
}  # fmt: skip


def here(name: str) -> str:
    return "test_" + name.replace(" ", "_").replace(",", "")


@pytest.mark.parametrize("n", HELD)
def test_each_of_the_twenty_is_held_by_checks_that_exist(n: int) -> None:
    for name in HELD[n]:
        file, _, check = name.partition("::")
        path = ROOT / "tests" / file if check else Path(__file__)
        tree = ast.parse(path.read_text(encoding="utf-8"))
        found = {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}
        assert (check or here(name)) in found, name


def test_there_are_twenty() -> None:
    assert list(HELD) == list(range(1, 21))


def said_to_people() -> dict[str, str]:
    """Every text that can reach a screen: words, templates and the rulebook's own sentences, by file."""
    folders = ("coaching/wording", "coaching/pages", "athletes/pages", "coaching/config/templates",
               "coaching/rules/rulebook")  # fmt: skip
    found = {}
    for path in (p for folder in folders for p in sorted((ROOT / folder).rglob("*")) if p.is_file()):
        if path.suffix == ".py":
            tree = ast.parse(path.read_text(encoding="utf-8"))
            texts = [n.value for n in ast.walk(tree) if isinstance(n, ast.Constant) and isinstance(n.value, str)]
            found[str(path)] = "\n".join(texts)
        elif path.suffix in (".html", ".toml"):
            found[str(path)] = path.read_text(encoding="utf-8")
    return found


SAID = said_to_people()


def nowhere(pattern: str) -> list[str]:
    return [f"{path}: {hit[0]}" for path, text in SAID.items() for hit in re.finditer(pattern, text, re.IGNORECASE)]


def test_the_words_are_read() -> None:
    assert len(SAID) > 150 and nowhere("skin holds, of 100")


def test_a_reason_names_its_finger() -> None:
    """Never one number for skin alone: beside it stands where, and what."""
    entry = cast.entry()
    said = reasons.reason(entry.reasons[0], entry, cast.AS_OF).plain
    assert "right middle" in said and "tip crease" in said


def test_left_and_right_are_told_apart() -> None:
    """Every site of the one hand has a twin on the other with another code and another name."""
    names = {site.code: sites.site(site.code) for site in all_sites()}
    assert len(set(names.values())) == len(names)
    assert all(name.startswith("left" if code.startswith("L") else "right") for code, name in names.items())


def test_no_text_gives_a_friction_from_the_weather() -> None:
    assert nowhere(r"friction[^.\n]{0,30}\d+\s*(?:%|percent|of 100)|\d+\s*(?:%|percent)[^.\n]{0,20}friction") == []


def test_time_back_is_a_range() -> None:
    """What is said of damage names an early and a late day, or none."""
    from coaching.wording import unknowns

    told = unknowns.back_when(cast.split_shown(), cast.AS_OF)
    assert len(re.findall(r"\b\d{1,2}\b", told)) >= 2, told
    assert nowhere(r"heals? in \d+ days|healed on\b|will be healed") == []


def test_a_morning_asks_seven_things_at_most() -> None:
    """Each answered by a tap, none of them needed; the hands, the note and what the form itself keeps stand beside."""
    from athletes.pages.forms import CheckIn

    asked = {name: field for name, field in CheckIn.base_fields.items() if name not in ("day", "note", "seconds_taken")}
    assert 3 <= len(asked) <= 7, sorted(asked)
    assert all(hasattr(field, "choices") and not field.required for field in asked.values())


def test_nothing_has_to_be_dragged() -> None:
    assert nowhere(r"type=[\"']?range|RangeInput|NumberInput\([^)]*range") == []


def test_levels_are_told_apart_without_colour() -> None:
    assert len({levels.level(code) for code in levels.ORDER}) == len(levels.ORDER) == 5
    sheet = (ROOT / "coaching/config/static/tenpads/paper.css").read_text() + (
        ROOT / "coaching/config/static/tenpads/pages.css"
    ).read_text()
    for code in ("tight", "act", "out-of-reach", "not-known"):
        assert re.search(rf"\.level-{code}[^{{]*\{{[^}}]*(?:background|border|mask|clip|linear)", sheet), code
    assert nowhere(r"\b(?:red|amber|green) (?:light|level|zone)\b|traffic") == []


def test_rest_is_named_in_time() -> None:
    """The last day for rest stands in the plan as a date days ahead, and never first as news on the eve."""
    rest = rulebook.current().deadlines["rest-start"]
    assert min(rest.days) >= 1 and max(rest.days) >= 2
    assert str(deadlines.KINDS["rest-start"])


def test_nobody_is_greased_before_climbing() -> None:
    """Creams and ointments lie after climbing or by night; only what is wiped off between tries is used there."""
    for rule in (one for one in FORMS.values() if one.verb == "soften"):
        between = rule.form in ("damp cloth", "moisture spray")
        assert (rule.climbing_day == "between") == between, rule.form
    assert nowhere(r"moisturi[sz]e before (?:you )?climb") == []


def test_no_conclusion_is_drawn_from_a_photo() -> None:
    """Pictures are in no history that is computed from, and nothing that computes or decides opens one."""
    assert not any("photo" in str(source).lower() for source in SOURCES)
    for folder in ("coaching/science", "coaching/rules", "coaching/ledger"):
        for path in (ROOT / folder).rglob("*.py"):
            text = path.read_text(encoding="utf-8").lower()
            assert "import pil" not in text and "from pil" not in text and "photo" not in text, path


def test_no_grit_is_given() -> None:
    assert nowhere(r"\bgrit(?:\s*of)?\s*[:=]?\s*\d|\d{2,3}\s*(?:-?\s*grit|er paper)\b|\bP\d{2,3}\b") == []


def test_nobody_is_praised_for_answering() -> None:
    assert nowhere(r"\b(?:well done|good job|great job|keep it up|congrat|bravo|hooray|on a roll)\b") == []
    assert nowhere(r"(?:day|morning|answer|check-in)s? streak|streak of (?:days|mornings)|longest streak") == []
    assert nowhere(r"\d+ (?:days|mornings) (?:in a row|running) (?:answered|checked)|badge|points earned") == []


def test_what_may_not_be_loaded_is_said_before_the_warm_up() -> None:
    said = " ".join(spoken.brief(Today("off", (), ("L-ring-tip",)), (), date(2027, 3, 11)))
    assert said and verdicts.verdict(Today("off")) in said

"""Every code that can reach a page has words. Codes come from where they are defined; the rest stand here."""

from __future__ import annotations

import pytest

from athletes.records import choices
from coaching.drawing.zones import all_sites
from coaching.rules import holds, medical, rulebook
from coaching.rules.weighed import ORDER
from coaching.wording import (
    actions,
    care,
    deadlines,
    fallbacks,
    levels,
    parts,
    people,
    reasons,
    refusals,
    scales,
    sites,
    unknowns,
    verdicts,
)

LEVELS = {"on-course", "tight", "act", "out-of-reach", "not-known"}
MAY_CLIMB = {"free", "protected", "not-those-holds", "off", "medical", "not-known"}
DEADLINES = {
    "agent-first-use", "agent-start", "agent-stop", "soften-start", "even-last", "rough-session-last",
    "rest-start", "toughen-start", "toughen-stop", "look", "taped-try", "rehearsal-start", "medical-signoff",
    "entry",
}  # fmt: skip
STATES = {"open", "due", "done", "missed"}
FALLBACKS = {"protect", "lighter-event", "fewer-days", "later-arrival", "stand-in", "withdraw", "medical"}
REFUSALS = {"allergy", "age", "open-skin", "medical", "timing", "skin-kind", "site", "clash"}
PARTS = {"reserve", "load", "dampness", "dryness", "glassy", "agent", "air"}  # of the readiness models
RATED = {"reserve", "dampness", "hardness", "sting", "pull_pain"}
ALL_FORMS = {form for forms in choices.FORMS.values() for form in forms}


@pytest.mark.parametrize(
    ("codes", "words"),
    [
        (LEVELS, levels.LEVELS),
        (set(choices.EVENT_KINDS), levels.EVENT_KINDS),
        (MAY_CLIMB, verdicts.MAY_CLIMB),
        (set(holds.KINDS), verdicts.HOLDS),
        (set(choices.HOLDS), verdicts.HOLDS),
        (set(medical.GRADES), verdicts.MEDICAL),
        (set(choices.RED_FLAGS), verdicts.RED_FLAGS),
        (set(ORDER), reasons._SEEN),
        (DEADLINES, deadlines.KINDS),
        (DEADLINES, actions.DO),
        (STATES, deadlines.STATES),
        (FALLBACKS, fallbacks.FALLBACKS),
        (PARTS, parts.PARTS),
        (REFUSALS, refusals.CLASSES),
        (REFUSALS, refusals.CLASSES_SHORT),
        (set(choices.VERBS), care.VERBS),
        (set(choices.VERBS), care.VERB_MARKS),
        (ALL_FORMS, care.FORMS),
        (set(rulebook.current().forms), care.FORMS),
        (set(choices.STRENGTHS), care.STRENGTHS),
        (set(choices.PARTS), care.PARTS_OF_DAY),
        (set(choices.MARKS), care.MARKS),
        (set(choices.DAMAGE_KINDS), care.KINDS),
        (set(choices.DEPTHS), care.DEPTHS),
        (set(choices.STAGES), care.STAGES),
        (set(choices.STAGES), care.STAGES_EXPLAINED),
        (set(choices.SURFACES), care.SURFACES),
        ({"athlete", *choices.SIGHTING_BY}, care.SEEN_BY),
        (set(choices.ROLES), people.ROLES),
        (RATED, scales.NAMES),
        (RATED, scales.ENDS),
        (set(choices.DATA_CLASSES) - {"level"}, unknowns.CLASSES),
    ],
)
def test_each_code_has_words_and_no_word_is_without_a_code(codes: set[str], words: dict[str, object]) -> None:
    assert set(words) == codes
    assert all(str(said).strip() for said in words.values())


def test_reason_codes_are_those_of_the_rules() -> None:
    assert set(reasons.CODES) == set(ORDER)


def test_every_site_has_a_name_of_its_own() -> None:
    drawn = {site.code for site in all_sites()}
    assert drawn == choices.SITES
    assert len({sites.site(code) for code in drawn}) == len(drawn)
    assert not any("not known" in sites.site(code) for code in drawn)


def test_marks_of_care_are_different_from_each_other() -> None:
    marks = [str(mark) for mark in care.VERB_MARKS.values()]
    assert len(set(marks)) == len(marks)

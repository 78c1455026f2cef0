"""Rules of trials: questions, small spots, what stands of several, what a plan offers, a history that is no trial."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from coaching.drawing.trial_dots import DotsPair, draw_dots
from coaching.rules import rulebook
from coaching.rules.facts import AthleteFacts, TriedFact
from coaching.rules.trial_questions import FORMS, READ_DAYS, Ask, dosing, outcomes_of, skip_days, wrong
from coaching.rules.trial_standing import REOPENED, preferred, standing
from coaching.rules.trial_start import Patch, patch_state
from coaching.science import versions
from coaching.science.trial_history import compare
from coaching.wording import plans
from tests import planned_cast

P = versions.get(versions.CURRENT).parameters
BOOK = rulebook.current()
DAY = date(2027, 3, 11)
ASK = Ask("aluminium salt", "dampness", True, False, False, 6)


def tried(form: str, verdict: str, days: int = 0, outcome: str = "dampness") -> TriedFact:
    return TriedFact(DAY + timedelta(days=days), form, outcome, verdict)


def test_every_form_that_may_be_tried_is_in_the_rulebook_with_a_caution_and_an_outcome() -> None:
    for form in FORMS:
        rule = BOOK.forms[form]
        assert rule.caution and outcomes_of(form) and skip_days(rule, P) >= 1
        for outcome in outcomes_of(form):
            assert wrong(replace(ASK, form=form, outcome=outcome)) == "" and READ_DAYS[outcome] >= 5


def test_blocks_are_as_long_as_the_ingredient_takes() -> None:
    """Onset and wash-out: methenamine 5.3 and 9 days (Cullen 1975), aluminium 2 and 3 (Goh 1990)."""
    assert [skip_days(BOOK.forms[form], P) for form in ("methenamine spray", "aluminium salt")] == [9, 3]
    assert skip_days(BOOK.forms["water-based cream"], P) == 1


@pytest.mark.parametrize(
    ("changes", "field"),
    [({"form": "glue"}, "form"), ({"outcome": "loss"}, "outcome"), ({"hands": True, "outcome": "limited"}, "hands"),
     ({"hands": True, "hidden": True}, "hidden"), ({"form": "methenamine cream", "hidden": True}, "hidden"),
     ({"pairs": 5}, "pairs"), ({"hands": True}, ""), ({"hidden": True}, "")],
)  # fmt: skip
def test_what_is_no_question(changes: dict, field: str) -> None:
    assert wrong(replace(ASK, **changes)) == field


def test_a_weak_agent_is_a_smaller_dose() -> None:
    doses = [dosing(replace(ASK, form="methenamine spray", strength=s), BOOK, P).amount for s in ("weak", "strong")]
    assert doses[0] < doses[1] and dosing(replace(ASK, form="sand"), BOOK, P).every == 3


def test_a_small_spot_is_put_on_and_looked_at() -> None:
    spots = (Patch("wax balm", DAY, False), Patch("wax balm", DAY + timedelta(days=2), False))
    state = [patch_state("wax balm", spots[:n], DAY + timedelta(days=3)) for n in range(3)]
    assert state == ["missing", "waiting", "clear"]
    assert patch_state("sand", spots, DAY + timedelta(days=3)) == "missing"
    assert patch_state("wax balm", spots, DAY + timedelta(days=60)) == "missing"  # too long ago
    reacted = (*spots, Patch("wax balm", DAY, True))
    assert patch_state("wax balm", reacted, DAY + timedelta(days=90)) == "reacted"


def test_a_later_contradiction_opens_it_again_and_a_third_settles_it() -> None:
    key = ("aluminium salt", "dampness")
    one, two = tried("aluminium salt", "works"), tried("aluminium salt", "does-not", 100)
    assert standing([one])[key] == "works" and standing([two, one])[key] == REOPENED
    assert standing([one, tried("aluminium salt", "cannot-tell", 50)])[key] == "works"
    assert standing([one, two, tried("aluminium salt", "works", 200)])[key] == "works"
    assert standing([tried("aluminium salt", "cannot-tell")])[key] == "cannot-tell"


def test_a_plan_prefers_what_works_and_drops_what_does_not() -> None:
    forms = ["methenamine spray", "aluminium salt", "methenamine cream"]
    works, fails = tried("aluminium salt", "works"), tried("methenamine spray", "worse")
    assert preferred(forms, [works, fails]) == ["aluminium salt", "methenamine cream"]
    both = [tried("aluminium salt", "works"), tried("aluminium salt", "does-not", 9)]
    assert preferred(forms, both) == forms  # open again: neither in front nor out
    assert preferred(forms, []) == forms
    other = [tried("aluminium salt", "does-not"), tried("aluminium salt", "works", outcome="sting")]
    assert preferred(forms, other)[0] == "aluminium salt"


def test_the_planner_offers_no_agent_that_did_nothing_for_this_skin() -> None:
    facts = planned_cast.damp_with_spray()
    dry = {one.form for one in planned_cast.asked(facts).choices.actions if one.verb == "dry"}
    assert dry == {"methenamine spray"}
    failed = replace(facts, tried=(tried("methenamine spray", "does-not"),))
    dry = {one.form for one in planned_cast.asked(failed).choices.actions if one.verb == "dry"}
    assert "methenamine spray" not in dry


SPRAY, LIQUID = "methenamine spray", "methenamine liquid"
OWN = [
    ("nothing tried", (), {SPRAY, LIQUID}, ()),
    ("the spray works", (tried(SPRAY, "works"),), {SPRAY}, ()),
    ("the liquid works", (tried(LIQUID, "works"),), {LIQUID}, ()),
    ("the spray does not", (tried(SPRAY, "does-not"),), {LIQUID}, (SPRAY,)),
    ("the spray is open again", (tried(SPRAY, "works", -90), tried(SPRAY, "does-not")), {SPRAY, LIQUID}, ()),
    ("it is settled by a third", (tried(LIQUID, "works", -200), tried(LIQUID, "does-not", -90), tried(LIQUID, "works")),
     {LIQUID}, ()),
]  # fmt: skip


@pytest.mark.parametrize(("own", "taken", "out"), [row[1:] for row in OWN], ids=[row[0] for row in OWN])
def test_of_two_alike_the_planner_takes_what_worked_and_says_so(own: tuple, taken: set[str], out: tuple) -> None:
    """One agent as spray and as liquid, each used on the same evenings: no forecast tells them apart, a trial does."""
    found = planned_cast.planned(planned_cast.damp_with_two_alike(tried=own), count=5)
    steps = {step.form: step.own_trial for step in found.steps if step.verb == "dry"}
    assert set(steps) == taken and tuple(form for form, _ in found.left_out) == out
    for form, word in steps.items():
        mine = [one for one in own if one.form == form]
        assert (word is None) == (not mine) and (word is None or word.day == max(one.day for one in mine))
    said = [plans.own_trial(step) for step in found.steps if step.own_trial]
    works = {form for form, word in steps.items() if word and word.code == "works"}
    assert sum("worked in a trial of their own" in one for one in said) == len(works)
    assert sum("open again" in one for one in said) == len(said) - len(works)
    assert len(plans.left_out(found)) == len(out)


def test_a_cream_that_worked_takes_the_place_of_the_usual_one_but_not_beside_an_agent() -> None:
    def creams(facts: AthleteFacts) -> list[str]:
        found = planned_cast.asked(facts).choices.actions
        return list(dict.fromkeys(one.form for one in found if one.verb == "soften"))

    oil, usual = (tried(form, "works", outcome="sting") for form in ("oil-based cream", "humectant cream"))
    idle = replace(usual, verdict="does-not")
    dry, damp = planned_cast.worn(1, 14), planned_cast.damp_with_spray()
    assert creams(dry) == ["humectant cream"] and creams(replace(dry, tried=(idle,))) == []
    assert creams(replace(dry, tried=(oil, idle))) == ["oil-based cream"]
    assert creams(replace(dry, tried=(oil,))) == ["oil-based cream", "humectant cream"]
    assert creams(replace(damp, tried=(idle,))) == ["humectant cream"]  # an agent needs it


def test_history_names_what_else_was_different() -> None:
    """Begun twice in damp weeks of little load: mornings with it are lower, and so they would have been without."""
    outcome, share, load, temp = (np.full(80, v) for v in (5.0, 0.0, 2.0, 20.0))
    for begin in (20, 55):
        outcome[begin - 7 : begin] = 8.0
        share[begin : begin + 10], load[begin : begin + 10], temp[begin : begin + 10] = 0.9, 0.5, 12.0
    seen = compare(outcome, share, load, temp)
    assert (seen.runs, seen.days_with, seen.days_without) == (2, 20, 60) and seen.gap < 0
    assert seen.level_before == pytest.approx(3.0) and seen.load_gap_slu < -1 and seen.temp_gap_c == -8.0
    assert not compare(outcome, np.zeros(80), load, temp).any


def test_every_answer_is_a_dot_and_none_is_hidden_by_another() -> None:
    svg = draw_dots([DotsPair([5, 5, 6], [3.0, 2.0], True), DotsPair([], [4.0], False)], 10, "t", [(0, "0")])
    assert svg.count('class="dot-usual"') == 3 and svg.count('class="dot-change"') == 3
    assert svg.count('class="dots-mean"') == 3
    spots = [part.split('"')[1] + part.split('cy="')[1].split('"')[0] for part in svg.split(" cx=")[1:]]
    assert len(set(spots)) == 6

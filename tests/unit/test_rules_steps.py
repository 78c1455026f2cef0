"""Steps: allowed plans and the care that damage asks for, with the rulebook's own caution and source."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from coaching.rules import rulebook
from coaching.rules.conclusions import AthleteConclusion
from coaching.rules.facts import CheckInFact, EpisodeFact, LookFact
from coaching.rules.numbers import Quartet
from tests import cast
from tests.cast import day

AS_OF = day("5-10")


def concluded(**changes: Any) -> AthleteConclusion:
    healing = changes.pop("healing", {})
    facts = cast.athlete(AS_OF, **changes)
    figures = cast.numbers(
        *(cast.chance(0.6, event_id=one.event_id) for one in facts.entries), episodes=healing
    )
    return cast.concluded(facts, figures, AS_OF)


def forms(found: AthleteConclusion, part: str | None = None) -> set[str]:
    return {one.form for one in found.steps if part in (None, one.part)}


def test_a_planned_step_carries_the_rulebooks_caution_and_source() -> None:
    (step,) = concluded(care=(cast.planned(day("5-12"), "soften", "wax balm"),)).steps
    rule = rulebook.current().forms["wax balm"]
    assert (step.date, step.part, step.rule) == (day("5-12"), "night", "soften.wax-balm")
    assert (step.caution, step.source, step.how) == (rule.caution, rule.source, rule.how)


def test_open_damage_is_covered_and_never_filed_or_cut() -> None:
    split = EpisodeFact("d1", "L-index-tip", "split", AS_OF, looks=(LookFact(AS_OF, "open"),))
    found = concluded(episodes=(split,))
    assert {"session tape", "rest site"} <= forms(found, "day") and forms(found, "night") == {"moist cover"}
    assert not {"sand", "level callus", "thin rim", "clip edges", "glue"}.intersection(forms(found))


def test_a_tip_split_seen_closing_gets_balm_at_night() -> None:
    split = EpisodeFact("d1", "L-index-tip", "split", day("5-6"), looks=(LookFact(AS_OF, "closing"),))
    assert forms(concluded(episodes=(split,)), "night") == {"balm in split"}


def test_a_rim_is_thinned_only_after_a_look_found_it_closed() -> None:
    rimmed = LookFact(AS_OF, "rimmed", pain=1, opens_on_pull=False)
    split = EpisodeFact("d1", "L-index-tip", "split", day("5-3"), looks=(rimmed,))
    assert "thin rim" in forms(concluded(episodes=(split,)))
    pulled = replace(split, looks=(replace(rimmed, opens_on_pull=True),))
    assert "thin rim" not in forms(concluded(episodes=(pulled,)))


@pytest.mark.parametrize(("stage", "days"), [("rimmed", 3), ("open", 6), ("closing", 6)])
def test_care_ends_when_it_is_sound_and_while_open_only_a_look_ends_it(stage: str, days: int) -> None:
    """Late end of healing in 2.4 days; a week is the most that is listed."""
    split = EpisodeFact("d1", "L-index-tip", "split", AS_OF, looks=(LookFact(AS_OF, stage),))
    soon = cast.healing(Quartet(1, 2, 2.4, 4), sound=Quartet(1, 2, 2.4, 4))
    found = concluded(episodes=(split,), healing={"d1": soon})
    assert max(one.date for one in found.steps) == AS_OF + timedelta(days=days)
    never = concluded(episodes=(split,), healing={"d1": cast.healing(cast.NEVER)})
    assert max(one.date for one in never.steps) == AS_OF + timedelta(days=6)


def test_an_adhesive_allergy_gets_neither_tape_nor_a_taped_try() -> None:
    split = EpisodeFact("d1", "L-index-tip", "split", AS_OF, looks=(LookFact(AS_OF, "open"),))
    entry = (cast.entry(day("5-20")),)
    found = concluded(episodes=(split,), entries=entry, sensitivities=frozenset({"adhesive"}))
    assert forms(found) == {"rest site"}


def test_a_taped_try_waits_for_its_look_and_is_no_day_of_rest() -> None:
    split = EpisodeFact("d1", "L-index-tip", "split", AS_OF, looks=(LookFact(AS_OF, "open"),))
    found = concluded(episodes=(split,), entries=(cast.entry(day("5-15")),))
    tries = [one for one in found.steps if one.form == "taped try"]
    assert [(one.date, one.if_) for one in tries] == [(day("5-13"), "look:2027-05-13")]
    assert day("5-13") not in {one.date for one in found.steps if one.form == "rest site"}


def test_pink_tips_rest_two_whole_days() -> None:
    pink = CheckInFact(AS_OF, sting=6, marks=(("L-index-tip", "pink"),))
    found = concluded(checkins=(pink,))
    assert [(one.date, one.form) for one in found.steps] == [
        (day("5-11"), "rest day"),
        (day("5-12"), "rest day"),
    ]


def test_the_same_step_planned_and_from_the_rulebook_appears_once() -> None:
    pink = CheckInFact(AS_OF, sting=6, marks=(("L-index-tip", "pink"),))
    found = concluded(checkins=(pink,), care=(cast.planned(day("5-11"), "rest", "rest day"),))
    assert len(found.steps) == 2


def test_steps_come_by_day_and_part_of_the_day() -> None:
    plan = (cast.planned(day("5-12"), "soften", "wax balm"), cast.planned(day("5-12"), "cool", "fan"))
    assert [one.form for one in concluded(care=plan).steps] == ["fan", "wax balm"]

"""What a trial adds to the model: hands an answer of their own, blocks nothing that was not read already."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from scipy import stats

from athletes.records.histories_arrays import arrays
from athletes.records.histories_care import HAND_TIPS, dose_frac
from athletes.records.histories_share import share
from coaching.rules.facts import CareFact, TriedFact
from coaching.science import dampness, footing, versions
from coaching.science.agents import effect_course
from coaching.science.inputs import INGREDIENTS, TriedAgents, none_tried
from coaching.science.trial_exact import exact
from coaching.science.trial_orders import draw
from coaching.science.trial_plan import Blocks, told
from coaching.science.trial_reading import LEAST_SD_PT, Dosing, full_effect
from tests import cast, courses
from tests.trials.athletes import Scene, answers, in_force

MODEL = versions.get(versions.CURRENT)
P = MODEL.parameters
AT = 30
SALT = INGREDIENTS.index("aluminium")
DAY = date(2027, 3, 11)


def tried(*effects: float, sd: float = 0.7, row: int = 0, column: int = AT) -> TriedAgents:
    n, whole = len(effects), np.int64
    return TriedAgents(
        np.full(n, row, dtype=whole), np.arange(n, dtype=whole) + column, np.full(n, SALT, dtype=whole),
        np.array(effects), np.full(n, sd),
    )  # fmt: skip


def test_without_a_trial_not_a_bit_changes_and_with_one_only_its_athlete() -> None:
    course = courses.told(np.random.default_rng(4))
    plain, own = (MODEL.filter(replace(course, tried=one))[0] for one in (none_tried(), tried(4.0, row=2)))
    others = [0, 1, 3, 4, 5]
    for name, values in vars(plain).items():
        assert values[others].tobytes() == vars(own)[name][others].tobytes(), name
    assert plain.no_response_frac[2] > own.no_response_frac[2]
    assert vars(plain)["dampness_mean_pt"].tobytes() == vars(MODEL.filter(course)[0])["dampness_mean_pt"].tobytes()


@pytest.mark.parametrize("seen", [3.5, 1.0, -0.5])
def test_a_result_moves_the_effect_by_its_weight(seen: float) -> None:
    """Normal prior and normal measurement (Gelman et al. 2013, 2.5); chances by Bayes' rule with SciPy's densities."""
    sd = 0.8
    course = replace(courses.calm(), tried=tried(seen, sd=sd))
    moved_by = dampness.drive(course, np.zeros((1, course.days, len(INGREDIENTS))), P)
    track = dampness.follow(course, moved_by, P)
    before, spread, without = P["agent_effect_pt"], P.spread("agent_effect_pt"), P["agent_no_response_frac"]
    weight = spread**2 / (spread**2 + sd**2)
    assert track.belief.mean[2 + SALT, 0, 0] == pytest.approx(max(before + weight * (seen - before), 0.0))
    assert track.belief.cov[2 + SALT, 2 + SALT, 0, 0] == pytest.approx(spread**2 * (1 - weight))
    odds = [without * stats.norm.pdf(seen, 0, sd), (1 - without) * stats.norm.pdf(seen, before, np.hypot(spread, sd))]
    assert track.no_response_frac()[0] == pytest.approx(odds[0] / sum(odds))
    assert track.belief.mean[2 + (SALT + 1) % 3, 0, 0] == before  # another agent: through the chance of none alone


def test_dampness_ahead_follows_what_worked_and_a_contradiction_takes_it_back() -> None:
    dose = np.zeros((1, courses.DAYS, len(INGREDIENTS)))
    dose[0, courses.ORIGIN :, SALT] = 0.5

    def ahead(*effects: float) -> float:
        course = courses.calm(dose_plan=dose, tried=tried(*effects))
        return float(MODEL.filter(course)[0].dampness_mean_pt[0, -1])

    assert ahead(4.5) < ahead() < ahead(0.0)
    assert ahead(4.5) < ahead(4.5, 0.0) < ahead(0.0)


def test_a_pass_that_goes_on_from_a_morning_says_the_same_and_knows_when_a_trial_was_read_before_it() -> None:
    course, episodes = courses.told(np.random.default_rng(5)), courses.damage()
    late = replace(course, tried=tried(4.0, row=1, column=AT))
    for at in (AT - 3, AT + 3):
        state = MODEL.filter(late, keep=at)[1]
        kept = MODEL.footing(late, episodes, state, at)
        again = MODEL.filter(late, footing=kept)[0]
        assert again.dampness_mean_pt[1, -1] == MODEL.filter(late)[0].dampness_mean_pt[1, -1]
        apart = [a != b for a, b in zip(footing.digests(late, episodes, at), footing.digests(course, episodes, at),
                                        strict=True)]  # fmt: skip
        assert apart == [row == 1 and at > AT for row in range(6)]


def test_facts_to_arrays_and_the_share_of_one_athlete() -> None:
    spoken = [TriedFact(DAY - timedelta(days=ago), "aluminium salt", "dampness", "works", 3.0, 0.6) for ago in (9, 900)]
    silent = TriedFact(DAY, "wax balm", "sting", "works")
    facts = [cast.athlete(DAY), cast.athlete(DAY, tried=(*spoken, silent))]
    made = arrays(facts, DAY)
    assert made.course.tried.athlete.tolist() == [1, 1] and made.course.tried.column.tolist() == [141, 0]
    one = share(made, [1]).course.tried
    assert one.athlete.tolist() == [0, 0] and one.effect_pt.tolist() == [3.0, 3.0]
    assert share(made, [0]).course.tried.athlete.size == 0


def test_the_full_effect_is_that_of_the_plan_over_its_share() -> None:
    found = exact(np.array([-2.0, -1.5, -2.5, -2.0, -1.0, -3.0]))
    dosing = Dosing("aluminium", 0.5, 1, 3.0)
    doses = np.zeros((1, 200, len(INGREDIENTS)))
    doses[..., SALT] = 0.5
    reached = float(effect_course(doses, 1.0, P)[-1, SALT, 0])
    effect, sd = full_effect(found, 0.6, dosing, P)
    assert effect == pytest.approx(2.0 / reached, rel=1e-3) and sd == pytest.approx(0.6 / reached, rel=1e-3)
    assert full_effect(found, 0.01, dosing, P)[1] == LEAST_SD_PT


def test_what_one_hand_alone_was_given_counts_half() -> None:
    both = CareFact(DAY, "done", "dry", "aluminium salt", sites=(*HAND_TIPS["L"], *HAND_TIPS["R"]))
    left = replace(both, sites=HAND_TIPS["L"])
    assert dose_frac(replace(both, sites=())) == dose_frac(both) == 2 * dose_frac(left)
    assert dose_frac(replace(both, sites=("L-index-tip",))) == dose_frac(both)


def lived(effect: float, seed: int) -> tuple[float, float]:
    """Mean full effect by the model after blocks of aluminium that a truth of its own lived through, and the chance of
    no response: the trial's mornings and uses, told day by day, and nothing else.
    """
    scene = Scene("model", effect, "aluminium", skip=4, onset=2.0, washout=3.0)
    rng = np.random.default_rng([seed, 31])
    blocks = Blocks(tuple(range(0, scene.days, scene.block)), scene.skip, scene.read, False)
    frame = told(blocks, draw(scene.pairs, seed), 1, np.zeros((2, blocks.days)), np.zeros((2, blocks.days)))
    taken = np.where(frame.due & (rng.random(blocks.days) >= scene.missed), 1.0, 0.0)
    daily = answers(rng, scene, in_force(rng, scene, taken))[0]
    dose = np.zeros((1, blocks.days, len(INGREDIENTS)))
    dose[0, :, SALT] = taken[0] * scene.dose
    course = courses.calm(1, blocks.days, blocks.days - 1, dampness_pt=daily[None], dose_done=dose,
                          answered=np.isfinite(daily)[None])  # fmt: skip
    state = MODEL.filter(course)[1]
    weight = np.exp(state.dampness.log_weight[:, 0])
    return float(weight @ state.dampness.belief.mean[2 + SALT, :, 0]), float(weight[-1])


def test_of_blocks_the_filters_have_learned_the_effect_from_mornings_and_uses_alone() -> None:
    """So a result of blocks adds nothing: two in three athletes or more end on the right side of the prior, and on
    average the effect lies nearer to the truth than before the first day. Twelve athletes of each kind; the bound of
    eight is what chance alone would reach in one such test of five (binomial, even odds).
    """
    prior = (1 - P["agent_no_response_frac"]) * P["agent_effect_pt"]
    helped, idle = ([lived(effect, seed) for seed in range(12)] for effect in (-3.0, 0.0))
    full = 3.0 / float(effect_course(np.full((1, 90, 3), 0.5), 1.0, P)[-1, SALT, 0])
    assert abs(np.mean([one[0] for one in helped]) - full) < abs(prior - full)
    assert np.mean([one[0] for one in idle]) < 0.5 * prior
    assert sum(one[1] < P["agent_no_response_frac"] for one in helped) >= 8
    assert sum(one[1] > P["agent_no_response_frac"] for one in idle) >= 8

"""Readiness against the sentences it is made of, each put apart as a question to a normal law (scipy.stats)."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from scipy import stats
from scipy.special import expit, logit

from coaching.science import readiness, skin
from coaching.science.answering import chance_of_answer, nothing_told, taught
from coaching.science.inputs import Episodes
from coaching.science.nodes import NODES
from coaching.science.panel import Panel, spread_ahead, widened
from coaching.science.quantities import Parameters
from coaching.science.readiness import at_nodes, conditions, expected_chance
from coaching.science.reserve import ReserveTrack
from coaching.science.versions import VERSIONS
from tests.courses import DAYS, ORIGIN, calm, damage, joined

BOTH = [VERSIONS[version].parameters for version in ("2026.1", "2026.3")]
RNG = np.random.default_rng(11)
ROWS, AHEAD = 2, 3


def panel(learned: bool) -> Panel:
    def some(low: float, high: float) -> np.ndarray:
        return RNG.uniform(low, high, (ROWS, AHEAD))

    parts = [some(1, 9), some(0.2, 2), some(0, 1), some(0, 10), some(0.2, 2), some(0, 1), some(2, 9), some(0.1, 1)]
    shifts = [RNG.normal(0, 0.7, (NODES.shift_u.size, ROWS)) for _ in range(3)]
    return Panel(*parts, *(shifts if learned else [shifts[0]]))


def law(variance: float) -> stats.rv_continuous:
    return stats.norm(0, np.sqrt(variance))


def by_hand(one: Panel, row: int, day: int, node: int | None, p: Parameters) -> tuple[float, float, float]:
    """Chances of enough reserve, of suiting dampness and of soft skin. At a node its scores stand for what is not
    known, else that is in the law as well.
    """
    at = {name: float(value[row, day]) for name, value in vars(one).items() if name.endswith(("_pt", "_var"))
          and "shift" not in name}  # fmt: skip
    z_reserve, z_damp = (0.0, 0.0) if node is None else (NODES.reserve_z[node], NODES.dampness_z[node])
    free = 1.0 if node is None else 0.0
    less = damper = 0.0
    if node is not None and one.reserve_shift_pt is not None:
        less, damper = one.reserve_shift_pt[node, row], one.damp_shift_pt[node, row]
    limit_var = {name: p.spread(name) ** 2 for name in ("enough_reserve_pt", "too_damp_pt", "too_dry_pt")}
    known = at["reserve_known_var"] + limit_var["enough_reserve_pt"]
    session = at["reserve_noise_var"] + p["session_reserve_sd_pt"] ** 2 + free * known
    enough = law(session).sf(p["enough_reserve_pt"] - less - at["reserve_pt"] - z_reserve * np.sqrt(known))
    session = at["dampness_noise_var"] + p["session_dampness_sd_pt"] ** 2
    known = at["dampness_known_var"] + limit_var["too_damp_pt"]
    upper = law(session + free * known).cdf(p["too_damp_pt"] + damper - at["dampness_pt"] - z_damp * np.sqrt(known))
    known = at["dampness_known_var"]
    dry_var = session + limit_var["too_dry_pt"] + free * known
    dry = law(dry_var).cdf(p["too_dry_pt"] - at["dampness_pt"] - z_damp * np.sqrt(known))
    soft = law(at["hardness_var"] + p["session_hardness_sd_pt"] ** 2).cdf(p["too_hard_pt"] - at["hardness_pt"])
    return enough, max(upper - dry, 0.0), soft


@pytest.mark.parametrize("p", BOTH)
@pytest.mark.parametrize("learned", [True, False])
def test_chance_at_every_node(p: Parameters, learned: bool) -> None:
    one, left = panel(learned), RNG.random((readiness.PACES, ROWS, AHEAD))
    got, unhurt = at_nodes(one, left, p), at_nodes(one, None, p)
    for node, row, day in product((0, 17, 59), range(ROWS), range(AHEAD)):
        chance = float(np.prod(by_hand(one, row, day, node, p)))
        chance = expit(logit(chance) + one.shift_logit[node, row]) if chance > 0 else 0.0
        assert unhurt[node, row, day] == pytest.approx(chance, rel=1e-9, abs=1e-12)
        hurt = chance * left[NODES.pace_fifth[node], row, day]
        assert got[node, row, day] == pytest.approx(hurt, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("p", BOTH)
def test_chance_with_all_that_is_not_known_in_the_law(p: Parameters) -> None:
    one = panel(False)
    told, stands = expected_chance(one, p), conditions(one, p)
    for row, day in product(range(ROWS), range(AHEAD)):
        enough, suits, soft = by_hand(one, row, day, None, p)
        assert told[row, day] == pytest.approx(enough * suits * soft, rel=1e-9, abs=1e-15)
        assert stats.norm.cdf(stands.reserve_pt / stands.reserve_sd)[row, day] == pytest.approx(enough, rel=1e-9)
        upper = stats.norm.cdf(stands.damp_pt / stands.damp_sd)[row, day]
        assert max(upper - stands.dry[row, day], 0.0) == pytest.approx(suits, rel=1e-9, abs=1e-15)
        assert stands.soft[row, day] == pytest.approx(soft, rel=1e-9)


@pytest.mark.parametrize(("p", "learned"), [(BOTH[0], False), (BOTH[1], True)])
def test_chance_of_the_answer_is_the_mean_over_shifts_but_for_slips(p: Parameters, learned: bool) -> None:
    one = panel(learned)
    told = chance_of_answer(one, p)
    stands = conditions(one, p)
    for row, day in product(range(ROWS), range(AHEAD)):
        chances = []
        for node in range(NODES.shift_u.size):
            less = one.reserve_shift_pt[node, row] if learned else 0.0
            damper = one.damp_shift_pt[node, row] if learned else 0.0
            upper = stats.norm.cdf((stands.damp_pt[row, day] + damper) / stands.damp_sd[row, day])
            chance = max(upper - stands.dry[row, day], 0.0) * stands.soft[row, day]
            chance *= stats.norm.cdf((stands.reserve_pt[row, day] + less) / stands.reserve_sd[row, day])
            chances.append(expit(logit(chance) + one.shift_logit[node, row]) if chance > 0 else 0.0)
        slip = p["answer_slip_frac"]
        expected = (1 - slip) * np.mean(chances) + slip * (1 - np.mean(chances))
        assert told[row, day] == pytest.approx(expected, rel=1e-9)


def test_one_shift_of_the_odds_by_bayes_rule_on_its_cells() -> None:
    """Fourteen edges, thirteen cells of the prior's normal law; three answers, one of them not given."""
    p, one = BOTH[0], panel(False)
    answer = np.array([[1.0, np.nan, 0.0], [np.nan, np.nan, np.nan]])
    assert np.array_equal(nothing_told(ROWS, p), np.zeros((13, ROWS)))
    sd, slip = p.spread("personal_shift_logit"), p["answer_slip_frac"]
    edges = sd * np.linspace(-3.25, 3.25, 14)
    before = np.full((13, ROWS), -0.5)
    after = readiness.answers_told(answer, one, before, p)
    middle, chance = 0.5 * (edges[1:] + edges[:-1]), expected_chance(one, p)[0]
    fine = [slip + (1 - 2 * slip) * expit(logit(chance[day]) + middle) for day in (0, 2)]
    assert after[:, 0] == pytest.approx(-0.5 + np.log(1 - fine[0]) + np.log(fine[1]), rel=1e-9)
    assert np.array_equal(after[:, 1], before[:, 1])
    weight = np.diff(stats.norm(0, sd).cdf(edges)) * np.exp(after[:, 0])
    points = readiness.shift_nodes(after, p)
    assert np.array_equal(taught(one, after, p).shift_logit, points)
    below = np.concatenate([[0.0], np.cumsum(weight / weight.sum())])
    assert points[:, 0] == pytest.approx(np.interp(NODES.shift_u, below, edges), abs=1e-9)
    prior = np.interp(NODES.shift_u, np.concatenate([[0], np.cumsum(np.diff(stats.norm.cdf(edges / sd)))])
                      / np.diff(stats.norm.cdf(edges / sd)).sum(), edges)  # fmt: skip
    assert points[:, 1] == pytest.approx(prior, abs=1e-9)


def test_spread_grows_to_a_week_and_a_fortnight_and_never_narrows() -> None:
    p = BOTH[0].changed(inflation_7d=1.4, inflation_14d=1.2)
    factor = spread_ahead(DAYS, ORIGIN, p)
    assert np.all(factor[: ORIGIN + 1] == 1.0) and factor[ORIGIN + 7] == 1.4
    assert factor[ORIGIN + 3] == pytest.approx(1 + 0.4 * 3 / 7)
    assert factor[ORIGIN + 9] == pytest.approx(1.4 - 0.2 * 2 / 7)
    assert np.all(factor[ORIGIN + 14 :] == pytest.approx(1.2))
    known, noise = np.linspace(2.0, 0.5, DAYS)[:, None], np.linspace(0.0, 3.0, DAYS)[:, None]
    track = ReserveTrack(known, known, noise, np.zeros((3, 1)), None)  # type: ignore[arg-type]
    wide = widened(track, ORIGIN, p)
    for got, own in zip(wide, (known, noise), strict=True):
        assert np.array_equal(got[:ORIGIN], own[:ORIGIN])
        expected = [max((factor * own[:, 0])[ORIGIN : day + 1]) for day in range(ORIGIN, DAYS)]
        assert got[ORIGIN:, 0] == pytest.approx(expected, rel=1e-12)


def at(row: int, episodes: Episodes) -> Episodes:
    return replace(episodes, athlete=np.array([row]))


def test_answers_of_days_with_something_open_are_left_out_and_pink_tips_are_not_damage() -> None:
    course = calm(4, limited=np.ones((4, DAYS)))
    some = joined(
        at(0, damage(noticed=5, looked=20, since=12, stage="sound")),
        at(1, damage(noticed=-3, looked=8, since=8, stage="thinned")),
        at(2, damage("pink", noticed=4, looked=4)),
        at(3, damage(noticed=-9, looked=-2, since=-2, stage="sound")),
    )
    used = readiness.usable_answers(course, some)
    days = np.arange(DAYS)
    past = days <= ORIGIN
    open_on = np.array([(days >= 5) & (days < 12), days >= 0, days < 0, days < 0])
    assert np.array_equal(~np.isnan(used), past & ~open_on)


def test_what_damage_leaves_is_multiplied_from_the_origin_on() -> None:
    course = calm(2)
    shape = (readiness.PACES, 3, DAYS - ORIGIN + 4)  # heals on beyond the course
    usable, sound = np.full(shape, 0.8), np.full(shape, 0.3)
    some = joined(at(1, damage()), at(1, damage(tried=True)), at(1, damage("pink")))
    p = BOTH[0]
    left = readiness.left_by_damage(some, usable, sound, p)
    split, tried = 0.3 + 0.5 * p["taped_share"], 0.3 + 0.5 * p["taped_tried_share"]
    pink = 1 - p["pink_matters_share"] * (1 - split)
    assert left[0, :, 0] == pytest.approx([split, tried, pink], rel=1e-12)
    whole = readiness.whole_damage(course, some, left)
    assert whole.shape == (readiness.PACES, 2, DAYS)
    assert np.all(whole[:, 0] == 1.0) and np.all(whole[:, 1, :ORIGIN] == 1.0)
    assert whole[:, 1, ORIGIN:] == pytest.approx(split * tried * pink, rel=1e-12)


def test_a_panel_before_any_answer_shifts_no_odds() -> None:
    course = calm(2)
    one = skin.follow(course, BOTH[0]).panel(BOTH[0])
    assert one.shift_logit.shape == (NODES.shift_u.size, 2) and np.all(one.shift_logit == 0)
    assert one.reserve_shift_pt is None and one.damp_shift_pt is None

"""Plans, options and parts of an entry against the forward equations written out, one athlete and one day at a time."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from coaching.science import skin
from coaching.science.agents import resolved_dose
from coaching.science.answering import taught
from coaching.science.entries import good_days
from coaching.science.entry_case import frame
from coaching.science.helping import OPTIONS
from coaching.science.inputs import INGREDIENTS
from coaching.science.nodes import NODES
from coaching.science.readiness import PACES, at_nodes, left_by_damage
from tests.courses import DAYS, ORIGIN, damage, joined
from tests.plain_plans import (
    ATHLETES,
    FIRST,
    LAST,
    MODEL,
    NOBODY,
    Means,
    P,
    carried,
    course_of,
    event,
    made,
    nothing,
    read,
)

ALIKE = 1e-9


def test_states_and_chances_under_a_plan() -> None:
    course, state, edits = made(21)
    means = MODEL.edited_means(course, NOBODY, event(), edits, state=state)
    against = np.array([1, 1, 0])
    found = MODEL.edited_chance(course, NOBODY, event(), edits, against, state=state)
    nodes = []
    for row in range(ATHLETES):
        expected = carried(course, state, edits, row)
        for name, values in expected.items():
            assert means[name][row] == pytest.approx(values[FIRST : LAST + 1], rel=ALIKE, abs=ALIKE)
        nodes.append(read(course, state, row, expected))
    day = [int(one.mean(axis=0).argmin()) for one in nodes]
    p = [one[:, at].mean() for one, at in zip(nodes, day, strict=True)]
    assert found.p == pytest.approx(p, rel=1e-8)
    for row, other in enumerate(against):
        ends = np.quantile(nodes[row][:, day[row]], (0.1, 0.9), method="hazen")
        ends = (min(ends[0], p[row]), max(ends[1], p[row]))
        assert (found.low[row], found.high[row]) == pytest.approx(ends, rel=1e-8)
        change = nodes[row][:, day[other]] - nodes[other][:, day[other]]
        ends, gain = np.quantile(change, (0.1, 0.9), method="hazen"), p[row] - p[other]
        assert found.gain[row] == pytest.approx(gain, abs=1e-9)
        low, high = min(ends[0], gain), max(ends[1], gain)
        assert (found.gain_low[row], found.gain_high[row]) == pytest.approx((low, high), abs=1e-9)


def test_each_option_is_a_plan_of_its_own() -> None:
    """Half load; none on the last four days; methenamine once a day; cream daily; one filing three days before."""
    course, state, _ = made(23)
    course = replace(course, dose_plan=np.where(np.arange(DAYS)[None, :, None] > ORIGIN, 0.0, course.dose_plan))
    state = MODEL.filter(course)[1]
    plans = {}
    for option in ("half-load", "rest-last-days", "agent-on", "soften", "sand"):
        plans[option] = nothing()
    before = slice(ORIGIN + 1, FIRST)
    plans["half-load"].load_share[:, before] = 0.5
    plans["rest-last-days"].load_share[:, FIRST - 4 : FIRST] = 0.0
    plans["agent-on"].dose[:, before, INGREDIENTS.index("methenamine")] = 0.5
    plans["soften"].moist[:, before] = 1.0
    plans["sand"].filed[:, FIRST - 3] = 1.0
    every = np.ones(ATHLETES, dtype=bool)
    said = MODEL.helping(course, NOBODY, event(), dict.fromkeys(OPTIONS, every), state=state)
    base = MODEL.entries(course, NOBODY, event(), state=state)
    for option, edits in plans.items():
        own = MODEL.edited_chance(course, NOBODY, event(), edits, np.arange(ATHLETES), state=state)
        gain = said.gain[OPTIONS.index(option)]
        assert gain == pytest.approx(own.p - base.p, abs=1e-12) and np.abs(gain).max() > 1e-4, option
        low, high = said.low[OPTIONS.index(option)], said.high[OPTIONS.index(option)]
        for row in range(ATHLETES):
            plain = read(course, state, row, carried(course, state, nothing(), row))
            changed = read(course, state, row, carried(course, state, edits, row))
            at = plain.mean(axis=0).argmin()
            ends = np.quantile((changed - plain)[:, at], (0.1, 0.9), method="hazen")
            told_ends = (min(ends[0], gain[row]), max(ends[1], gain[row]))
            assert (low[row], high[row]) == pytest.approx(told_ends, abs=1e-9), option


def usual_of(state: skin.State, row: int) -> Means:
    """Worked reserve, dampness brought just inside the band that suits, hardness soft enough."""
    weight, load = np.exp(state.reserve.log_weight[:, row]), state.usual_load_slu[row]
    _, rested, wear = state.reserve.belief.mean[:, :, row]
    worked = weight @ np.clip(rested - P["reserve_renewal_d"] * np.array([0.7, 1.0, 1.4]) * wear * load, 0, 10)
    damp = np.exp(state.dampness.log_weight[:, row]) @ state.dampness.belief.mean[1, :, row]
    mild = np.clip(damp, P["too_dry_pt"] + P["mild_margin_pt"], P["too_damp_pt"] - P["mild_margin_pt"])
    soft = min(state.hardness.state[1, row], P["soft_enough_pt"])
    names = ("reserve_pt", "dampness_pt", "hardness_pt")
    return {name: np.full(DAYS, value) for name, value in zip(names, (worked, mild, soft), strict=True)}


def test_parts_are_one_change_each_to_the_usual() -> None:
    course, state, _ = made(25)
    found = MODEL.entries(course, NOBODY, event(), state=state)
    mild_air = replace(course, temp_c=course.temp_c * np.nan, rh_pct=course.rh_pct * np.nan)
    off = (np.arange(DAYS) > ORIGIN)[None, :, None] | (
        (np.arange(DAYS) == ORIGIN)[None, :, None] & np.isnan(course.dose_done)
    )
    dose, rest = np.where(off, 0.0, resolved_dose(course, course.dose_plan, P)), nothing()
    rest.load_share[:, ORIGIN + 1 : FIRST] = 0.0
    for row in range(ATHLETES):
        plain, usual = carried(course, state, nothing(), row), usual_of(state, row)

        def least(changed: Means, row: int = row) -> float:
            return float(read(course, state, row, changed).mean(axis=0).min())

        def other(row: int = row, **changed: object) -> Means:
            return carried(course, state, nothing(), row, **changed)

        load = np.where(np.arange(DAYS) > ORIGIN, state.usual_load_slu[row], state.reserve_drive.load_slu[:, row])
        eased = other(start_pt=usual["reserve_pt"][0] - state.reserve.mean_pt[ORIGIN, row])
        without, mild = other(dose=dose[[row]]), carried(mild_air, state, nothing(), row)
        changes = {
            "reserve": {"reserve_pt": eased["reserve_pt"]},
            "load": {"reserve_pt": other(load_slu=load)["reserve_pt"]},
            "dampness": {"dampness_pt": np.minimum(plain["dampness_pt"], usual["dampness_pt"])},
            "dryness": {"dampness_pt": np.maximum(plain["dampness_pt"], usual["dampness_pt"])},
            "glassy": {"hardness_pt": np.minimum(plain["hardness_pt"], usual["hardness_pt"])},
            "agent": {name: without[name] for name in ("dampness_pt", "hardness_pt")},
            "air": {"dampness_pt": mild["dampness_pt"]},
        }
        base = least(plain)
        assert found.p[row] == pytest.approx(base, rel=1e-8)
        assert found.p_usual[row] == pytest.approx(least(usual), rel=1e-8)
        assert found.p_rest[row] == pytest.approx(least(carried(course, state, rest, row)), rel=1e-8)
        assert set(found.parts) == {*changes, "pink"}
        for code, changed in changes.items():
            assert found.parts[code][row] == pytest.approx(least({**plain, **changed}) - base, abs=1e-9), code


def test_good_days_by_counting_every_outcome() -> None:
    """Four days, each its own chance at each node: all sixteen outcomes, mean over nodes, then the points."""
    rng = np.random.default_rng(26)
    nodes = rng.random((NODES.shift_u.size, 1, 5))
    days, points = good_days(nodes, np.array([[True] * 4 + [False]]), np.array([True]))
    count = np.zeros(5)
    for outcome in product((0, 1), repeat=4):
        count[sum(outcome)] += np.prod(np.where(outcome, nodes[:, 0, :4], 1 - nodes[:, 0, :4]), axis=1).mean()
    reached = np.cumsum(count)
    assert days[0] == 4 and points[:, 0].tolist() == [int((reached >= q).argmax()) for q in (0.5, 0.1, 0.9)]


def test_damage_that_matters_by_its_weight_and_its_days() -> None:
    """Factors of a case: 1 - weight (1 - left); usable taped on the first day, averaged over the athlete's pace."""
    course = course_of(27)
    hurt = joined(damage(deep=1.0, noticed=ORIGIN - 8), damage("flapper", "pad", noticed=ORIGIN - 1))
    weight = np.zeros((ATHLETES, 2))
    weight[0] = (0.6, 1.0)
    targets = replace(event(), weight=weight)
    assert frame(course, targets).episode.shape == (ATHLETES, 2)
    healed = MODEL._slices(course, hurt)
    left = left_by_damage(hurt, healed.usable, healed.sound, P)
    found, unhurt_ = MODEL.entries(course, hurt, targets), MODEL.entries(course, NOBODY, event())
    first = FIRST - ORIGIN
    both = np.prod(healed.usable[:, :, first], axis=1).mean()
    assert found.p_protected[0] == pytest.approx(both, rel=1e-12) and np.all(found.p_protected[1:] == 1.0)
    state = MODEL.filter(course)[1]
    panel = taught(state.panel(P), skin.told(course, state, hurt, P, ORIGIN + 1), P)
    days = np.arange(FIRST, LAST + 1)
    nodes = at_nodes(panel.picked(np.array([0]), days[None]), None, P)[:, 0]
    each = [1 - w * (1 - left[:, k, days - ORIGIN]) for k, w in enumerate((0.6, 1.0))]
    assert each[0].shape == (PACES, days.size)
    p = (nodes * (each[0] * each[1])[NODES.pace_fifth]).mean(axis=0).min()
    assert found.p[0] == pytest.approx(p, rel=1e-9) and np.array_equal(found.p[1:], unhurt_.p[1:])
    for k, other in ((0, 1), (1, 0)):
        without = (nodes * each[other][NODES.pace_fifth]).mean(axis=0).min()
        assert found.episode_parts[0, k] == pytest.approx(without - p, abs=1e-12)

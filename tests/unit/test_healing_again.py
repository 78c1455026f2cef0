"""Damage that has closed and opens again: against a chain of states worked out step by step."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from coaching.science.healing import healing
from coaching.science.healing_again import load_ahead, opened_again, opening_chance, unseen
from coaching.science.inputs import Floats
from coaching.science.load import resolved_load_slu
from coaching.science.versions import CURRENT, get
from tests.courses import ORIGIN, calm, damage, joined

P = get(CURRENT).parameters
DAYS = 25
CLOSES, GROWS = 0.3, 0.2  # a day, without memory


def paths() -> dict[str, Floats]:
    """Chances by day of an open wound whose stages have no memory; usable halfway between."""
    still, shut, well = 1.0, 0.0, 0.0
    found = [(0.0, 0.0)]
    for _ in range(1, DAYS):
        newly = CLOSES * still
        still, shut = still - newly, shut + newly
        well, shut = well + GROWS * shut, (1 - GROWS) * shut
        found.append((1.0 - still, well))
    closed, sound = np.array(found).T
    return {"closed": closed[None, None], "usable": (closed + sound)[None, None] / 2, "sound": sound[None, None]}


def by_hand(opens: Floats) -> tuple[Floats, Floats]:
    """The same with opening again: five shares of a wound, moved day by day."""
    still, shut, well, again, again_shut = 1.0, 0.0, 0.0, 0.0, 0.0
    found = [(0.0, 0.0)]
    for day in range(1, DAYS):
        torn = opens[day - 1] * shut
        newly, newly_again = CLOSES * still, CLOSES * again
        still, shut = still - newly, shut - torn + newly
        again, again_shut = again - newly_again + torn, again_shut + newly_again
        well += GROWS * (shut + again_shut)
        shut, again_shut = (1 - GROWS) * shut, (1 - GROWS) * again_shut
        found.append((1.0 - still - again, well))
    closed, sound = np.array(found).T
    return closed, sound


@pytest.mark.parametrize("load", [0.0, 0.5, 2.0])
def test_against_a_chain_of_states(load: float) -> None:
    """Markov chain, Cox & Miller 1965, 3: with stages without memory the renewal sum is exact, to rounding."""
    opens = 1.0 - np.exp(-0.3 * load * (np.arange(DAYS) % 3 > 0))
    got = opened_again(paths(), paths(), opens[None])
    closed, sound = by_hand(opens)
    assert np.all(got["closed"][0, 0] <= closed + 1e-12)  # one that would open once more is no better off by opening
    assert got["closed"][0, 0] == pytest.approx(closed, abs=0.03)
    assert got["sound"][0, 0] == pytest.approx(sound, abs=1e-12)
    assert np.all(got["sound"] <= got["usable"] + 1e-15) and np.all(got["usable"] <= got["closed"] + 1e-15)


def test_what_never_opens_stays_as_it_is_and_what_does_loses_of_usable_as_it_loses_of_closed() -> None:
    """Without a chance to open, all three paths come back; to rounding."""
    given = paths()
    idle = opened_again(given, given, np.zeros((1, DAYS)))
    for name, path in given.items():
        assert idle[name] == pytest.approx(path, abs=1e-12), name
    some = opened_again(given, given, np.full((1, DAYS), 0.05))
    inside = (some["usable"] > some["sound"] + 1e-9) & (some["usable"] < some["closed"] - 1e-9)
    assert inside.sum() > DAYS // 2  # where neither end holds it
    less = some["usable"][inside] < given["usable"][inside] - 1e-9
    assert np.all(less[1:])  # on its first day nothing that closed has borne a load
    assert np.all(some["usable"][inside] > 0.8 * given["usable"][inside])  # a chance in twenty a day takes no more


def test_the_chance_of_a_day_by_hand() -> None:
    """Constant hazard: 1 - exp(-rate x load), less of it under tape."""
    three = joined(damage(), damage(taped=1.0), damage(taped=0.0))
    got = opening_chance(three, np.full((3, 2), 2.0) * np.array([1.0, 0.0]), P)
    rate = P["healing_reopens_per_slu"] * 2.0
    bare, taped = 1 - np.exp(-rate), 1 - np.exp(-rate * P["healing_taped_load_share"])
    assert got[:, 0] == pytest.approx([bare, taped, bare]) and np.all(got[:, 1] == 0)


def test_load_ahead_is_the_plans_and_then_its_mean() -> None:
    course = calm(2, ORIGIN + 4, ORIGIN, load_plan_slu=np.arange(2.0 * (ORIGIN + 4)).reshape(2, -1) / 50)
    got = load_ahead(course, replace(damage(), athlete=np.array([1])), 6, P)
    expected = resolved_load_slu(course, course.load_plan_slu, P)[0][1, ORIGIN:]
    assert got is not None
    assert got[0, :4] == pytest.approx(expected) and got[0, 4:] == pytest.approx(np.full(2, expected.mean()))
    assert load_ahead(course, damage(), 6, get("2026.3").parameters) is None


def test_more_load_never_helps_and_tape_does() -> None:
    rest, some, much = (
        healing(damage(deep=1.0, noticed=ORIGIN - 5), ORIGIN, 40, P, np.full((1, 61), slu)) for slu in (0.0, 1.0, 4.0)
    )
    for name in ("p_closed", "p_usable", "p_sound"):
        assert np.all(getattr(much, name) <= getattr(some, name) + 1e-12), name
        assert np.all(getattr(some, name) <= getattr(rest, name) + 1e-12), name
    assert much.sound_days[0, 1] > rest.sound_days[0, 1] + 1
    taped = healing(damage(deep=1.0, noticed=ORIGIN - 5, taped=1.0), ORIGIN, 40, P, np.full((1, 61), 4.0))
    assert np.all(taped.p_sound >= much.p_sound) and taped.p_sound[0, 20] > much.p_sound[0, 20] + 0.005


def test_without_load_it_is_as_without_opening_again() -> None:
    still = P.changed(healing_reopens_per_slu=0.0)
    one = damage(deep=1.0, noticed=ORIGIN - 9, looked=ORIGIN - 1, stage="rimmed")
    idle, plain = healing(one, ORIGIN, 30, P, np.zeros((1, 61))), healing(one, ORIGIN, 30, still)
    assert idle.p_sound == pytest.approx(plain.p_sound, abs=1e-12)


def test_nobody_has_looked_at_fresh_damage() -> None:
    s = unseen(joined(damage(), damage()))
    assert s.stage.tolist() == [-1, -1] and not s.looked_d.any() and not s.origin_d.any()

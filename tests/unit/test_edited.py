"""A plan's edits against the model's own parts: nothing changed is the entry itself, rest is the model's own rest."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from coaching.science.edited import Edits, no_edits
from coaching.science.helping import OPTIONS
from coaching.science.inputs import INGREDIENTS, Course, Targets
from coaching.science.versions import CURRENT, get
from tests.courses import ORIGIN, entered, told, unhurt

MODEL = get(CURRENT)
ATHLETES = 3
FIRST = ORIGIN + 9


def course() -> Course:
    return told(np.random.default_rng(11), ATHLETES)


def event() -> Targets:
    return entered(FIRST, FIRST, athletes=ATHLETES)


def nothing(c: Course) -> Edits:
    return no_edits(ATHLETES, c.days, len(INGREDIENTS))


def own() -> np.ndarray:
    return np.arange(ATHLETES)


def test_no_edit_is_the_entry_as_it_stands() -> None:
    """1e-12: the means are carried forward apart, in the same order of additions but for products by one."""
    c = course()
    found = MODEL.edited_chance(c, unhurt(), event(), nothing(c), own())
    base = MODEL.entries(c, unhurt(), event())
    assert np.allclose(found.p, base.p, atol=1e-12) and np.allclose(found.low, base.low, atol=1e-12)
    assert not found.gain.any() and not found.gain_low.any()


def test_rest_on_every_day_is_the_models_own_rest() -> None:
    """`p_rest` of the entries is computed elsewhere in the model; 1e-12 for the order of additions."""
    c = course()
    edits = nothing(c)
    edits.load_share[:, ORIGIN + 1 : FIRST] = 0.0
    found = MODEL.edited_chance(c, unhurt(), event(), edits, own())
    assert np.allclose(found.p, MODEL.entries(c, unhurt(), event()).p_rest, atol=1e-12)


def test_cream_on_every_day_is_what_helping_says_of_it() -> None:
    c = course()
    edits = nothing(c)
    edits.moist[:, ORIGIN + 1 : FIRST] = 1.0
    may = {"soften": np.ones(ATHLETES, dtype=bool)}
    said = MODEL.helping(c, unhurt(), event(), may).gain[OPTIONS.index("soften")]
    base = np.arange(ATHLETES) + ATHLETES
    both = Edits(
        *(np.concatenate([a, b]) for a, b in zip(vars(edits).values(), vars(nothing(c)).values(), strict=True))
    )
    twice = event()
    targets = Targets(*(np.concatenate([v, v]) for v in vars(twice).values()))
    found = MODEL.edited_chance(c, unhurt(), targets, both, np.concatenate([base, base]))
    assert np.allclose(found.gain[:ATHLETES], said, atol=1e-12)


def test_what_is_edited_up_to_the_origin_changes_nothing() -> None:
    c = course()
    edits = nothing(c)
    edits.load_share[:, : ORIGIN + 1] = 0.0
    edits.dose[:, : ORIGIN + 1], edits.moist[:, : ORIGIN + 1], edits.filed[:, : ORIGIN + 1] = 1.0, 1.0, 1.0
    means = MODEL.edited_means(c, unhurt(), event(), edits)
    same = MODEL.edited_means(c, unhurt(), event(), nothing(c))
    assert all(np.array_equal(means[name], same[name]) for name in means)


def test_more_agent_never_makes_damper_and_less_load_never_takes_reserve() -> None:
    c = course()
    edits = nothing(c)
    edits.dose[:, ORIGIN + 2 : FIRST, 0] = 0.6
    edits.load_share[:, ORIGIN + 2 : FIRST] = 0.5
    means, base = (MODEL.edited_means(c, unhurt(), event(), e) for e in (edits, nothing(c)))
    assert np.all(means["dampness_pt"] <= base["dampness_pt"] + 1e-12)
    assert np.all(means["reserve_pt"] >= base["reserve_pt"] - 1e-12)


def test_rows_must_match() -> None:
    c = course()
    short = replace(nothing(c), load_share=np.ones((1, c.days)))
    with pytest.raises(ValueError, match="one edit for each row"):
        MODEL.edited_means(c, unhurt(), event(), short)

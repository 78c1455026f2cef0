"""Healing never goes back in time without a look, and deeper, creased, uncovered damage is never sooner
whole.
"""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as nps

from coaching.science.healing import healing
from coaching.science.inputs import KINDS, PLACES, STAGES, Floats
from coaching.science.outputs import Healing
from coaching.science.quantities import Parameters, defaults
from coaching.science.versions import VERSIONS
from tests.courses import ORIGIN, damage

P = defaults()
kinds, places = st.sampled_from(KINDS), st.sampled_from(PLACES)
shares = st.one_of(st.just(np.nan), st.floats(0, 1))
looks = st.tuples(
    st.integers(0, 20),
    st.integers(0, 20),
    st.sampled_from([None, *STAGES]),
    st.sampled_from([0.0, 1.0, np.nan]),
)


def healed(
    kind: str, place: str, look: tuple[int, int, str | None, float], p: Parameters = P, load_slu: Floats | None = None,
    **said: float,
) -> Healing:  # fmt: skip
    before_look, since_look, stage, opens = look
    noticed = ORIGIN - before_look - since_look
    seen = {} if stage is None else {"stage": stage, "opens": opens}
    hurt = damage(kind, place, noticed=noticed, looked=ORIGIN - since_look, **seen, **said)
    return healing(hurt, ORIGIN, 45, p, load_slu)


@given(kinds, places, looks, st.sampled_from([0.0, 1.0, np.nan]), shares)
@settings(max_examples=60, deadline=None)
def test_chances_grow_with_the_days_and_keep_their_order(
    kind: str, place: str, look: tuple[int, int, str | None, float], deep: float, share: float
) -> None:
    got = healed(kind, place, look, deep=deep, balm_share=share)
    for p in (got.p_closed, got.p_usable, got.p_sound):
        assert np.all((p >= 0) & (p <= 1)) and np.all(np.diff(p, axis=1) >= -1e-12)
    assert np.all(got.p_sound <= got.p_usable + 1e-12) and np.all(got.p_usable <= got.p_closed + 1e-12)
    for days in (got.closed_days, got.usable_days, got.sound_days):
        assert np.all(days[:, 1:] >= days[:, :-1])


@given(kinds, places, st.integers(0, 20))
@settings(max_examples=30, deadline=None)
def test_deeper_is_never_sooner(kind: str, place: str, ago: int) -> None:
    shallow, unknown, deep = (healed(kind, place, (0, ago, None, np.nan), deep=d) for d in (0.0, np.nan, 1.0))
    for sooner, later in ((shallow, unknown), (unknown, deep)):
        # Far beyond their tables both are over but for one in ten thousand, and the tails may cross there.
        assert np.all(later.p_sound <= sooner.p_sound + 1e-4)
        assert np.all(later.p_closed <= sooner.p_closed + 1e-4)


@given(kinds, st.sampled_from([0.0, 1.0]), st.integers(0, 20))
@settings(max_examples=30, deadline=None)
def test_a_crease_is_never_sooner_than_a_pad(kind: str, deep: float, ago: int) -> None:
    pad, crease = (healed(kind, place, (0, ago, None, np.nan), deep=deep) for place in ("pad", "crease"))
    assert np.all(
        crease.p_sound <= pad.p_sound + 0.02
    )  # early days: the crease's table is narrower at its start


@given(kinds, places, st.sampled_from([0.0, 1.0, np.nan]), st.floats(0, 1), st.floats(0, 1))
@settings(max_examples=30, deadline=None)
def test_less_cover_is_never_sooner(kind: str, place: str, deep: float, a: float, b: float) -> None:
    less, more = (healed(kind, place, (0, 3, None, np.nan), deep=deep, balm_share=s) for s in sorted((a, b)))
    assert np.all(less.p_sound <= more.p_sound + 1e-12) and np.all(less.p_usable <= more.p_usable + 1e-12)


depths = st.sampled_from([0.0, 1.0, np.nan])
NEWEST = list(VERSIONS.values())[-1].parameters
AHEAD_D = 61
loads = nps.arrays(np.float64, (1, AHEAD_D), elements=st.floats(0, 4))
extra = nps.arrays(np.float64, (1, AHEAD_D), elements=st.one_of(st.just(0.0), st.floats(0, 4)))


@given(kinds, places, looks, depths, loads, extra, st.floats(0.01, 0.3))
@settings(max_examples=60, deadline=None)
def test_more_load_ahead_is_never_sooner(
    kind: str, place: str, look: tuple[int, int, str | None, float], deep: float, load: Floats, more: Floats, rho: float
) -> None:
    """Where load may open what has closed; over the whole range of the hazard in the register."""
    p = NEWEST.changed(healing_reopens_per_slu=rho)
    light, heavy = (healed(kind, place, look, p, slu, deep=deep) for slu in (load, load + more))
    for name in ("p_closed", "p_usable", "p_sound"):
        assert np.all(getattr(heavy, name) <= getattr(light, name) + 1e-12), name


@given(kinds, places, looks, depths, loads)
@settings(max_examples=30, deadline=None)
def test_load_that_opens_nothing_changes_nothing(
    kind: str, place: str, look: tuple[int, int, str | None, float], deep: float, load: Floats
) -> None:
    p = NEWEST.changed(healing_reopens_per_slu=0.0)
    with_load, without = (healed(kind, place, look, p, slu, deep=deep) for slu in (load, None))
    assert np.array_equal(with_load.p_sound, without.p_sound) and np.array_equal(with_load.p_usable, without.p_usable)
    rest = healed(kind, place, look, p.changed(healing_reopens_per_slu=0.2), 0.0 * load, deep=deep)
    for name in ("p_closed", "p_usable", "p_sound"):
        assert np.allclose(getattr(rest, name), getattr(without, name), rtol=0, atol=1e-9), name


@given(kinds, places, st.integers(0, 30), depths, st.sampled_from(STAGES))
@settings(max_examples=60, deadline=None)
def test_what_opens_on_a_pull_today_is_neither_closed_nor_usable(
    kind: str, place: str, ago: int, deep: float, stage: str
) -> None:
    got = healed(kind, place, (ago, 0, stage, 1.0), deep=deep)
    assert got.p_closed[0, 0] == got.p_usable[0, 0] == got.p_sound[0, 0] == 0


@given(kinds, places, st.integers(0, 30), depths)
@settings(max_examples=60, deadline=None)
def test_what_looks_open_today_is_hardly_usable_and_an_eye_can_err(
    kind: str, place: str, ago: int, deep: float
) -> None:
    """Judgement: by the share that is recorded as worse than it is, and no more."""
    got = healed(kind, place, (ago, 0, "open", np.nan), deep=deep)
    assert 0 < got.p_usable[0, 0] <= P["healing_misread_share"] + 1e-12
    assert got.p_sound[0, 0] <= got.p_usable[0, 0]


@given(kinds, places, depths, shares, st.integers(0, 25), st.integers(0, 8), st.floats(0, 1))
@settings(max_examples=50, deadline=None)
def test_a_later_stage_seen_on_the_same_day_never_means_less(
    kind: str, place: str, deep: float, share: float, day: int, since: int, part: float
) -> None:
    """Open, closing, rimmed, thinned, sound, in this order; no look at all lies between open and sound."""
    noticed, before = ORIGIN - since - day, ORIGIN - since - day + int(part * day)
    said = {"noticed": noticed, "looked": ORIGIN - since, "before": before, "deep": deep, "balm_share": share}
    seen = [healing(damage(kind, place, stage=stage, **said), ORIGIN, 30, P) for stage in STAGES]
    unseen = healing(damage(kind, place, noticed=noticed, deep=deep, balm_share=share), ORIGIN, 30, P)
    for less, more in [*zip(seen, seen[1:], strict=False), (seen[0], unseen), (unseen, seen[-1])]:
        for name in ("p_closed", "p_usable", "p_sound"):
            assert np.all(getattr(less, name) <= getattr(more, name) + 1e-12), name


@given(kinds, places, depths, st.integers(1, 12), st.data())
@settings(max_examples=25, deadline=None)
def test_closed_stands_between_two_looks_and_not_on_the_second(
    kind: str, place: str, deep: float, day: int, data: st.DataObject
) -> None:
    """Found closed, skin has been closed since some time after the look before: the earlier that was, the better."""
    earlier, later = sorted((data.draw(st.integers(0, day)), data.draw(st.integers(0, day))))
    said = {"noticed": ORIGIN - day, "looked": ORIGIN, "stage": "rimmed", "deep": deep}
    better, worse = (healing(damage(kind, place, before=ORIGIN - day + b, **said), ORIGIN, 30, P)
                     for b in (earlier, later))  # fmt: skip
    assert np.all(better.sound_days[0, 1] <= worse.sound_days[0, 1] + 0.5)

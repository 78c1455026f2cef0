"""Each filter against the same equations written out with matrices, one athlete and one component at a time."""

from dataclasses import replace

import numpy as np
import pytest

from coaching.science import dampness, hardness, reserve
from coaching.science.agents import effect_course
from coaching.science.inputs import INGREDIENTS, Course
from coaching.science.quantities import Parameters
from coaching.science.reserve import ReserveDrive
from coaching.science.versions import CURRENT, get
from tests.courses import told
from tests.plain_filters import Plain, carried, mixed, rated

P = get(CURRENT).parameters.changed(reserve_sanding_pt=0.3)
DAYS, ORIGIN, ATHLETES = 34, 22, 2
ALIKE = 1e-9  # two orders of the same sums


def course_of(seed: int) -> Course:
    """Ratings on most days, both ends of the scale and steps of two among them."""
    course = told(np.random.default_rng(seed), ATHLETES, DAYS, ORIGIN)
    for name, ends in (("reserve_pt", (0.0, 2.0)), ("dampness_pt", (10.0, 9.0)), ("hardness_pt", (0.0, 10.0))):
        getattr(course, name)[0, [5, 6]] = ends
    course.half_step_pt[1] = 1.0
    return course


def drive_of(seed: int) -> ReserveDrive:
    rng = np.random.default_rng(seed)
    shape = (DAYS, ATHLETES)
    return ReserveDrive(rng.gamma(1.0, 1.0, shape), rng.random(shape), (rng.random(shape) < 0.2) * 1.0)


def plain_reserve(course: Course, drive: ReserveDrive, athlete: int, p: Parameters) -> tuple[np.ndarray, np.ndarray]:
    """Mean, variance of what is not known, variance of the days ahead, by day; weights on the origin."""
    sd = {n: p.spread(f"reserve_{n}") for n in ("start_pt", "rested_pt", "wear_pt_per_slu")}
    cov = np.diag([sd["rested_pt"] ** 2 + sd["start_pt"] ** 2, sd["rested_pt"] ** 2, sd["wear_pt_per_slu"] ** 2])
    cov[0, 1] = cov[1, 0] = sd["rested_pt"] ** 2
    start = np.array([p["reserve_start_pt"], p["reserve_rested_pt"], p["reserve_wear_pt_per_slu"]])
    wear = p["reserve_wear_pt_per_slu"]
    low, high = np.array([0.0, 4.0, 0.1 * wear]), np.array([10.0, 10.0, 4.0 * wear])
    bank = [Plain(start.copy(), cov.copy()) for _ in range(3)]
    back = 1.0 / (p["reserve_renewal_d"] * np.array([0.7, 1.0, 1.4]))
    ahead, out, weights = np.zeros(3), [], None
    for day in range(DAYS):
        load, load_var, filed = (v[day, athlete] for v in (drive.load_slu, drive.load_var, drive.filed))
        if day <= ORIGIN:
            for part in bank:
                report = (p["reserve_report_sd_pt"], p["report_tail_df"])
                answer = (course.reserve_pt[athlete, day], course.half_step_pt[athlete, day])
                rated(part, np.eye(3)[0], 0.0, answer, report)
                part.mean = np.clip(part.mean, low, high)
        weight, mean, var = mixed(bank, (0.3, 0.4, 0.3), lambda part: (part.mean[0], part.cov[0, 0]))
        weights = weight if day == ORIGIN else weights
        out.append((mean, var, (weight * ahead).sum()))
        for k, part in enumerate(bank):
            worn = part.mean[2]
            noise = p["reserve_noise_pt"] ** 2 + (p["reserve_wear_noise_share"] * worn * load) ** 2 + worn**2 * load_var
            known = noise if day < ORIGIN else 0.0
            transition = np.array([[1 - back[k], back[k], -load], [0, 1, 0], [0, 0, 1]])
            push = np.array([-p["reserve_sanding_pt"] * filed, 0, 0])
            carried(part, transition, push, np.diag([known, 0, 0]))
            part.mean = np.clip(part.mean, low, high)
            if day >= ORIGIN:
                ahead[k] = (1 - back[k]) ** 2 * ahead[k] + noise
    return np.array(out), weights


@pytest.mark.parametrize("seed", [1, 2])
def test_reserve(seed: int) -> None:
    course, drive = course_of(seed), drive_of(seed)
    track = reserve.follow(course, drive, P)
    for athlete in range(ATHLETES):
        out, weights = plain_reserve(course, drive, athlete, P)
        ours = np.stack([track.mean_pt[:, athlete], track.known_var[:, athlete], track.noise_var[:, athlete]], axis=1)
        np.testing.assert_allclose(ours, out, rtol=ALIKE, atol=ALIKE)
        np.testing.assert_allclose(np.exp(track.log_weight[:, athlete]), weights, rtol=1e-7)


def test_reserve_of_a_plan_is_the_means_alone() -> None:
    """The same recursion without variances, from today's reserve a point lower; bank of three by hand."""
    course, drive = course_of(3), drive_of(3)
    track = reserve.follow(course, drive, P)
    other = replace(drive, load_slu=0.5 * drive.load_slu)
    told_pt = reserve.forward_means(track, other, ORIGIN, np.full(ATHLETES, -1.0), P)
    assert np.array_equal(told_pt[:ORIGIN], track.mean_pt[:ORIGIN])
    for athlete in range(ATHLETES):
        level, rested, wear = track.belief.mean[:, :, athlete]
        level = np.clip(level - 1.0, 0, 10)
        back = 1.0 / (P["reserve_renewal_d"] * np.array([0.7, 1.0, 1.4]))
        for day in range(ORIGIN, DAYS):
            assert told_pt[day, athlete] == pytest.approx(np.exp(track.log_weight[:, athlete]) @ level, abs=ALIKE)
            level = level + back * (rested - level) - wear * other.load_slu[day, athlete]
            level = np.clip(level - P["reserve_sanding_pt"] * drive.filed[day, athlete], 0, 10)


def plain_dampness(
    course: Course, drive: dampness.DampnessDrive, athlete: int, p: Parameters
) -> tuple[np.ndarray, np.ndarray]:
    """As `plain_reserve`; the fourth component does not respond."""
    memory, passing, drift = p["dampness_memory_frac"], p["dampness_noise_pt"] ** 2, p["dampness_drift_pt"] ** 2
    without, effect_sd = p["agent_no_response_frac"], p.spread("agent_effect_pt")
    bank = []
    for responds in (1.0, 1.0, 1.0, 0.0):
        mean = np.array([0.0, p["dampness_usual_pt"], *[responds * p["agent_effect_pt"]] * 3])
        spread = [passing / (1 - memory**2), p.spread("dampness_usual_pt") ** 2, *[responds * effect_sd**2] * 3]
        bank.append(Plain(mean, np.diag(spread)))
    prior = [(1 - without) * w for w in (0.3, 0.4, 0.3)] + [without]
    ahead, out, weights = np.zeros(2), [], None
    transition = np.diag([memory, 1.0, 1.0, 1.0, 1.0])
    for day in range(DAYS):
        rows = [np.array([1.0, 1.0, *-drive.effect[day, k, :, athlete]]) for k in range(4)]
        shift = drive.shift_pt[day, athlete]
        if day <= ORIGIN:
            for part, z in zip(bank, rows, strict=True):
                report = (p["dampness_report_sd_pt"], p["report_tail_df"])
                answer = (course.dampness_pt[athlete, day], course.half_step_pt[athlete, day])
                rated(part, z, shift, answer, report)
                part.mean[1], part.mean[2:] = np.clip(part.mean[1], 0, 10), np.clip(part.mean[2:], 0, 8)
        of = {id(part): z for part, z in zip(bank, rows, strict=True)}
        weight, mean, var = mixed(
            bank,
            prior,
            lambda part, of=of, shift=shift: (
                np.clip(of[id(part)] @ part.mean + shift, 0, 10),
                of[id(part)] @ part.cov @ of[id(part)],
            ),
        )
        weights = weight if day == ORIGIN else weights
        out.append((mean, var, ahead.sum()))
        known = np.diag([passing, drift, 0, 0, 0]) if day < ORIGIN else np.zeros((5, 5))
        for part in bank:
            carried(part, transition, np.zeros(5), known)
        if day >= ORIGIN:
            ahead = np.array([memory**2 * ahead[0] + passing, ahead[1] + drift])
    return np.array(out), weights


@pytest.mark.parametrize("seed", [4, 5])
def test_dampness(seed: int) -> None:
    course, rng = course_of(seed), np.random.default_rng(seed)
    temp, rh = 15 + 10 * rng.random((ATHLETES, DAYS)), 30 + 40 * rng.random((ATHLETES, DAYS))
    course = replace(course, temp_c=temp, rh_pct=rh, moist_done=(rng.random((ATHLETES, DAYS)) < 0.3) * 1.0)
    dose = rng.random((ATHLETES, DAYS, len(INGREDIENTS)))
    drive = dampness.drive(course, dose, P)
    track = dampness.follow(course, drive, P)
    for athlete in range(ATHLETES):
        out, weights = plain_dampness(course, drive, athlete, P)
        ours = np.stack([track.mean_pt[:, athlete], track.known_var[:, athlete], track.noise_var[:, athlete]], axis=1)
        np.testing.assert_allclose(ours, out, rtol=ALIKE, atol=ALIKE)
        np.testing.assert_allclose(np.exp(track.log_weight[:, athlete]), weights, rtol=1e-7)
        effect = np.tensordot((0.3, 0.4, 0.3), drive.effect[:, :3, :, athlete], axes=(0, 1))
        np.testing.assert_allclose(track.effect_frac[:, :, athlete], effect, rtol=ALIKE)
    same = dampness.forward_means(track, drive, ORIGIN, P)
    np.testing.assert_allclose(same, track.mean_pt, rtol=ALIKE)


def test_what_moves_dampness() -> None:
    """Onsets of the bank are the prior times .74, 1, 1.35 and 1; cream of the past shows next morning, air at once."""
    temp, rh = np.full((ATHLETES, DAYS), np.nan), np.full((ATHLETES, DAYS), np.nan)
    temp[0, 3], rh[1, 4] = 30.0, 20.0
    course = replace(course_of(6), temp_c=temp, rh_pct=rh)
    moist = np.zeros((ATHLETES, DAYS))
    moist[0, [7, ORIGIN, ORIGIN + 4]] = 1.0
    dose = np.random.default_rng(6).random((ATHLETES, DAYS, len(INGREDIENTS)))
    drive = dampness.drive(replace(course, moist_done=moist), dose, P)
    for k, factor in enumerate((0.74, 1.0, 1.35, 1.0)):
        np.testing.assert_allclose(drive.effect[:, k], effect_course(dose, factor, P), rtol=ALIKE)
    expected = np.zeros((DAYS, ATHLETES))
    expected[3, 0] += P["dampness_air_pt_per_c"] * (30.0 - P["air_mild_c"])
    expected[4, 1] += P["dampness_air_pt_per_pct"] * (20.0 - P["air_mild_pct"])
    expected[[8, ORIGIN + 1], 0] += P["dampness_moist_pt"]
    np.testing.assert_allclose(drive.shift_pt, expected, atol=ALIKE)


def test_hardness() -> None:
    course, push = course_of(7), np.random.default_rng(7).normal(0, 0.4, (DAYS, ATHLETES))
    track = hardness.follow(course, push, P)
    usual, back = P.spread("hardness_usual_pt") ** 2, 1.0 / P["hardness_return_d"]
    for athlete in range(ATHLETES):
        one = Plain(np.full(2, P["hardness_usual_pt"]), np.array([[usual + 0.5, usual], [usual, usual]]))
        for day in range(DAYS):
            if day <= ORIGIN:
                report = (P["hardness_report_sd_pt"], P["report_tail_df"])
                answer = (course.hardness_pt[athlete, day], course.half_step_pt[athlete, day])
                rated(one, np.eye(2)[0], 0.0, answer, report)
                one.mean = np.clip(one.mean, 0, 10)
                at_origin = one.mean
            told_pt = (track.mean_pt[day, athlete], track.var[day, athlete])
            assert told_pt == pytest.approx((one.mean[0], one.cov[0, 0]), rel=ALIKE, abs=ALIKE)
            noise = np.diag([P["hardness_noise_pt"] ** 2, 0])
            carried(one, np.array([[1 - back, back], [0, 1]]), np.array([push[day, athlete], 0]), noise)
            one.mean = np.clip(one.mean, 0, 10)
        assert track.state[:, athlete] == pytest.approx(at_origin, rel=ALIKE)

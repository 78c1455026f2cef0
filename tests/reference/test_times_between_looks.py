"""Times that are only known to lie between two looks, against a survival library (lifelines, recorded by make.py).

Burn wounds looked at every seventh day, and a disease looked for every year: at the library's own fit our chances give
its likelihood, and no other median or spread gives a higher one.
"""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from coaching.science.healing import given
from coaching.science.healing_looks import POINTS, RIMMED, Seen, closings, running
from coaching.science.healing_times import Stretch
from coaching.science.inputs import Floats

MADE = json.loads((Path(__file__).parents[2] / "fixtures/reference/looks.json").read_text())
SETS = [*MADE["wounds"], MADE["years"]]


def stretch(median_d: float, log_sd: float) -> Stretch:
    return Stretch(np.zeros((1, 1, 1)), np.full((1, 1, 1), median_d), np.full((1, 1, 1), log_sd))


def log_likelihood(rows: list, time: Stretch) -> float:
    """Sum over all of the log of the chance to end after one look and by the next."""
    after, by, count = np.array(rows, dtype=np.float64).T  # None becomes NaN: not seen to end
    still = running(time, np.where(np.isnan(by), 1.0, by))[0, 0]
    chance = running(time, after)[0, 0] - np.where(np.isnan(by), 0.0, still)
    return float((count * np.log(chance)).sum())


def test_the_reference_names_its_library_and_its_data() -> None:
    assert MADE["library"].startswith("lifelines ") and "burn" in MADE["data"]
    assert [sum(row[2] for row in each["after_by_count"]) for each in SETS] == [70, 84, 731]


@pytest.mark.parametrize("made", SETS)
def test_likelihood_of_looks(made: dict) -> None:
    ours = log_likelihood(made["after_by_count"], stretch(made["median"], made["log_sd"]))
    assert ours == pytest.approx(made["log_likelihood"], rel=1e-9)


@pytest.mark.parametrize("made", SETS)
def test_no_other_time_is_likelier(made: dict) -> None:
    best = log_likelihood(made["after_by_count"], stretch(made["median"], made["log_sd"]))
    for median, spread in ((1.05, 1.0), (0.95, 1.0), (1.0, 1.05), (1.0, 0.95)):
        other = stretch(median * made["median"], spread * made["log_sd"])
        assert log_likelihood(made["after_by_count"], other) < best


@pytest.mark.parametrize("made", SETS)
def test_chance_that_it_still_runs(made: dict) -> None:
    told = running(stretch(made["median"], made["log_sd"]), np.array(made["times"]))[0, 0]
    assert told == pytest.approx(made["still"], rel=1e-9)


@pytest.mark.parametrize("made", SETS)
def test_chance_once_it_ran_at_the_last_look(made: dict) -> None:
    """S(t) over S(7), the library's own values."""
    still = np.array(made["still"])
    assert given(still[1:], still[:1]) == pytest.approx(1 - still[1:] / still[0], rel=1e-12)


def found_closed(after_d: float, by_d: float) -> Seen:
    def row(value: float) -> Floats:
        return np.array([value])

    none = np.array([False])
    return Seen(np.array([RIMMED]), none, none, row(by_d), row(after_d), row(by_d), row(by_d))


@pytest.mark.parametrize(("after_d", "by_d"), [(0.0, 7.0), (7.0, 14.0), (14.0, 15.0)])
def test_days_between_two_looks_are_those_of_the_law_cut_off_there(after_d: float, by_d: float) -> None:
    """Turnbull 1976: all that is known is that it ended between; scipy.stats.lognorm gives the law."""
    made = MADE["wounds"][0]
    law = stats.lognorm(made["log_sd"], scale=made["median"])
    low, high = law.cdf(after_d), law.cdf(by_d)
    expected = law.ppf(low + (high - low) * (np.arange(POINTS) + 0.5) / POINTS)
    found = closings(found_closed(after_d, by_d), stretch(made["median"], made["log_sd"]))
    assert np.ravel(found) == pytest.approx(expected, rel=1e-9)


def test_two_looks_on_the_same_day_leave_no_choice() -> None:
    same = replace(found_closed(3.0, 3.0), looked_d=np.array([5.0]))
    assert np.all(np.ravel(closings(same, stretch(9.0, 0.2))) == 3.0)

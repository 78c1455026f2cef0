"""A few of the simulated trials, seeded: the thousand of each scene are `python -m tests.trials.run --count 1000`.

Bounds are those asked of a thousand (false claims 5 in 100, intervals 93 to 97, power within 5 points) and four
standard errors of so few beside them.
"""

import pytest

from tests.trials.run import SCENES, figures, losses

COUNT = 80


def apart(share: float) -> float:
    """Four standard errors of a share over so many trials."""
    return float(4 * (share * (1 - share) / COUNT) ** 0.5)


@pytest.mark.slow
@pytest.mark.parametrize("scene", SCENES[:3], ids=lambda scene: scene.name)
def test_where_nothing_works_claims_are_as_rare_as_promised(scene) -> None:
    found = figures(scene, COUNT, 3)
    assert found["wrong"] <= 0.05 + apart(0.05) / 2 and found["held"] >= 0.93 - apart(0.05)


@pytest.mark.slow
@pytest.mark.parametrize("scene", [SCENES[n] for n in (3, 5, 8, 9, 10)], ids=lambda scene: scene.name)
def test_effects_are_shown_as_often_as_promised_and_held_by_their_interval(scene) -> None:
    found = figures(scene, COUNT, 3)
    assert abs(found["right"] - found["promised"]) <= 0.05 + apart(found["promised"])
    assert found["held"] >= 0.93 - apart(0.05) and found["wrong"] <= 0.05


@pytest.mark.slow
def test_a_wrong_claim_costs_less_than_the_habit_would() -> None:
    lost = losses(COUNT, 3)
    assert lost["wrong claims"] <= lost["their habit"] and lost["trial"] < lost["habit"]

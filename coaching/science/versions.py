"""Registry of models: an old id stays runnable and unchanged."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from coaching.science.model import Model
from coaching.science.quantities import Parameters, defaults

CURRENT = "2026.6"


def wider_limits() -> Parameters:
    """Return the parameters under which limits differ more from athlete to athlete and from session to session.

    Parameters: none.
    Returns: Parameters.
    Raises: nothing.
    Assumes: ratings are bent by an offset and a gain of each athlete's own, so a limit on that scale scatters by about
        a point, and the dry end, which has no spread of its own, lies lower; a passing dampness lasts a little longer.
    Source: assumption: scored on simulated squads that share no code with the model;
        tests/reference/test_skill_on_truths.py, tests/unit/test_golden_models.py.
    """
    changed = defaults().changed(
        session_reserve_sd_pt=1.2,
        session_dampness_sd_pt=1.2,
        too_dry_pt=0.5,
        dampness_memory_frac=0.7,
    )
    return changed.respread(enough_reserve_pt=1.0, too_damp_pt=1.0)


def limits_of_their_own() -> Parameters:
    """Return the parameters under which each athlete's limits of reserve and dampness are learned from their answers.

    Parameters: none.
    Returns: Parameters.
    Raises: nothing.
    Assumes: how far limits differ is learned and no longer only allowed for; nobody whose hardness was never asked is
        glassy, and an agent hardens a little less; an answer is rarely a slip; a morning on which nothing of a planned
        agent was noted hides a use more often than not.
    Source: assumption: scored on simulated squads that share no code with the model;
        tests/reference/test_skill_on_truths.py, tests/unit/test_golden_models.py.
    """
    changed = wider_limits().changed(
        session_reserve_sd_pt=1.4,
        session_dampness_sd_pt=1.4,
        personal_shift_logit=0.3,
        answer_slip_frac=0.02,
        hardness_agent_pt=0.2,
        too_hard_pt=8.0,
        dose_silent_share=0.7,
        too_dry_pt=0.6,
    )
    return changed.respread(
        enough_reserve_pt=0.0,
        too_damp_pt=0.0,
        too_dry_pt=1.3,
        personal_reserve_limit_pt=1.1,
        personal_damp_limit_pt=1.1,
        personal_shift_logit=0.6,
        hardness_usual_pt=0.8,
    )


def healing_of_their_own() -> Parameters:
    """Return the parameters under which damage that is over tells an athlete's pace, and load opens closed damage.

    Parameters: none.
    Returns: Parameters.
    Raises: nothing.
    Assumes: one unit of load in thirty opens what has closed and is not taped.
    Source: assumption: scored on simulated squads that share no code with the model;
        tests/reference/test_healing_on_truths.py, tests/unit/test_golden_models.py.
    """
    return limits_of_their_own().changed(healing_own_history=1.0, healing_reopens_per_slu=0.03)


def seldom_opened_again() -> Parameters:
    """Return the parameters under which load opens closed damage more seldom.

    Parameters: none.
    Returns: Parameters.
    Raises: nothing.
    Assumes: the trade's ranges are those of people who climb, so that most openings are in them: one unit of load in
        fifty is left for plans to differ by. A flapper stays usable taped after 1-3 days whatever is planned.
    Source: assumption: held to expert judgement by tests/journey/test_cases_through_assess.py, scored by
        tests/reference/test_healing_on_truths.py.
    """
    return healing_of_their_own().changed(healing_reopens_per_slu=0.02)


def ranges_of_their_own() -> Parameters:
    """Return the parameters under which ranges of ratings follow each athlete's own scatter, narrower or wider.

    Parameters: none.
    Returns: Parameters.
    Raises: nothing.
    Assumes: the squad's noise of reporting is worth ten answers of the athlete's own; ratings of reserve a week and
        two ahead scatter a little less than the state's forecast says. Chances are those of the version before.
    Source: assumption: scored on simulated squads that share no code with the model; tests/unit/test_own_ranges.py,
        tests/unit/test_golden_models.py.
    """
    return seldom_opened_again().changed(rating_own_known_n=10.0, reserve_range_7d=0.92, reserve_range_14d=0.88)


VERSIONS: Mapping[str, Model] = MappingProxyType(
    {
        "2026.1": Model("2026.1", defaults()),
        "2026.2": Model("2026.2", wider_limits()),
        "2026.3": Model("2026.3", limits_of_their_own()),
        "2026.4": Model("2026.4", healing_of_their_own()),
        "2026.5": Model("2026.5", seldom_opened_again()),
        CURRENT: Model(CURRENT, ranges_of_their_own()),
    }
)
"""Version id -> complete model."""


def get(version_id: str) -> Model:
    """Return the model of a version.

    Parameters: version_id.
    Returns: Model.
    Raises: KeyError that names the known ids.
    Assumes: nothing.
    Source: bookkeeping; tests/unit/test_versions.py.
    """
    if version_id not in VERSIONS:
        raise KeyError(f"unknown model {version_id!r}; known: {', '.join(sorted(VERSIONS))}")
    return VERSIONS[version_id]

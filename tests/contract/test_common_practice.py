"""Each fact that practitioners state, as the rulebook reconciles it: one named check each.

Source of every check here: `common practice, no source`. A name that the rulebook prints and no check holds is found.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from functools import partial

import pytest

from coaching.rules import rulebook
from coaching.rules.conclusions import AthleteConclusion
from coaching.rules.facts import CareFact, CheckInFact, EpisodeFact, LookFact, VenueAirFact
from tests import cast
from tests.cast import day

AS_OF, EVENT = day("6-1"), day("6-20")
BOOK = rulebook.current()
FORMS = BOOK.forms
AGENTS = [one for one in FORMS.values() if one.ingredient]
SPRAY, CREAM = "methenamine spray", "methenamine cream"
DAMP_AIR = VenueAirFact(venue_dew_point_c=24.8, home_dew_point_c=9.5)


def conclude(*care: CareFact, wet: float = 5.0, ahead: int = 19, air: VenueAirFact | None = None,
             **changes: object) -> AthleteConclusion:  # fmt: skip
    entry = cast.entry(AS_OF + timedelta(days=ahead), air=air or VenueAirFact())
    facts = cast.athlete(AS_OF, care=care, entries=(entry,), **changes)
    return cast.concluded(facts, cast.numbers(cast.chance(0.7), dampness_mean_pt=wet), AS_OF)


def refused(found: AthleteConclusion) -> set[str]:
    return {one.form for one in found.refused}


def forms(found: AthleteConclusion) -> set[str]:
    return {one.form for one in found.steps}


def effect_shows_after_days() -> None:
    assert all(one.no_first_use_days >= 7 for one in AGENTS)
    assert all(one.run_days[0] >= 7 for one in AGENTS)


def label_decides_how_often() -> None:
    assert all("label decides" in FORMS[name].caution for name in (SPRAY, "methenamine liquid"))


def never_in_creases() -> None:
    for rule in AGENTS:
        row = cast.planned(AS_OF, "dry", rule.form, "R-index-tip-crease", part=rule.parts[0])
        assert rule.form in refused(conclude(row, ahead=60))
        assert rule.form not in refused(conclude(cast.planned(AS_OF, "dry", rule.form, "R-index-tip"), ahead=60))


def weak_spray_on_to_the_day() -> None:
    used = [cast.done(AS_OF - timedelta(days=n), "dry", SPRAY, reaction="none") for n in (1, 10)]
    eve = partial(cast.planned, AS_OF + timedelta(days=4), "dry", SPRAY, part="night")
    kind = {"skin_kind": "damp", "wet": 7.0}
    assert SPRAY not in refused(conclude(*used, eve(strength="weak"), ahead=5, **kind))
    assert SPRAY in refused(conclude(*used, eve(strength="strong"), ahead=5, **kind))


def cream_at_night_only() -> None:
    assert FORMS[CREAM].parts == ("night",) and "wash off before climbing" in FORMS[CREAM].how
    assert CREAM in refused(conclude(cast.planned(AS_OF, "dry", CREAM, part="morning")))


def agents_and_levelling_are_a_cycle() -> None:
    used = cast.done(AS_OF - timedelta(days=1), "dry", CREAM)
    assert "level callus" in forms(conclude(used)) and "level callus" not in forms(conclude())
    assert "level callus" not in forms(conclude(used, cast.done(AS_OF, "even", "sand")))


def filed_dry() -> None:
    assert all("ry, chalked skin" in FORMS[name].how for name in ("sand", "level callus"))
    rows = [cast.planned(AS_OF, "even", "sand", part="evening"),
            cast.planned(AS_OF, "soften", "water-based cream", part="evening")]  # fmt: skip
    assert "sand" in refused(conclude(*rows)) and "sand" not in refused(conclude(rows[0]))


def light_sanding_between() -> None:
    for ahead, late in ((2, False), (1, True)):
        row = cast.planned(AS_OF, "even", "sand", part="day")
        assert ("sand" in refused(conclude(row, ahead=ahead))) is late


def grease_at_night() -> None:
    assert {"oil-based cream", "wax balm"} <= {name for name, one in FORMS.items() if one.parts == ("night",)}
    assert "humectant cream" in forms(conclude(skin_kind="dry", wet=2.0))


def dry_skin_between_tries() -> None:
    assert "about 20 seconds" in FORMS["damp cloth"].how
    assert {"damp cloth"} <= forms(conclude(skin_kind="dry", wet=2.0, ahead=2))
    row = cast.planned(AS_OF, "soften", "damp cloth", part="day")
    assert "damp cloth" in refused(conclude(row, skin_kind="damp", wet=7.0))


def damp_skin_between_tries() -> None:
    found = conclude(skin_kind="damp", wet=7.0, ahead=2, air=DAMP_AIR)
    assert {"fan", "longer rests", "alcohol base"} <= forms(found)
    sprays = [one for one in AGENTS if one.ingredient == "methenamine"]
    assert all({"fan", "longer rests", "shade"} <= set(one.instead) for one in sprays)


def base_without_resin() -> None:
    assert "without rosin" in FORMS["alcohol base"].how
    assert "alcohol" in FORMS["alcohol base"].caution.casefold() and "Resin" in FORMS["alcohol base"].caution
    torn = EpisodeFact("d1", "R-index-tip", "split", AS_OF)
    row = cast.planned(AS_OF, "dry", "alcohol base", part="day")
    assert "alcohol base" in refused(conclude(row, episodes=(torn,))) and "alcohol base" not in refused(conclude(row))


def chalk_by_kind() -> None:
    assert "damp" in FORMS["fine chalk"].how and "dry" in FORMS["coarse chalk"].how
    assert not BOOK.is_agent("fine chalk") and not BOOK.is_agent("coarse chalk")


def air_forbids_no_day() -> None:
    assert conclude(air=DAMP_AIR).today.may_climb == "free"


def deep_tip_split() -> None:
    torn = EpisodeFact("d1", "R-index-tip", "split", AS_OF - timedelta(days=4), depth="deep")
    cut = [cast.planned(AS_OF, "mend", name, "R-index-tip", part="evening") for name in ("clip edges", "thin rim")]
    shut = EpisodeFact(**(vars(torn) | {"looks": (LookFact(AS_OF, "rimmed", pain=1, opens_on_pull=False),)}))
    assert {"clip edges", "thin rim"} <= refused(conclude(*cut, episodes=(torn,)))
    found = conclude(*cut, episodes=(shut,))
    assert refused(found) == set() and {"balm in split", "session tape", "thin rim"} <= forms(found)
    assert "pea-sized" in FORMS["thin rim"].how and "off in the morning" in FORMS["balm in split"].how


def tape_with_the_pull() -> None:
    assert "from the tip towards the base, past the joint" in FORMS["session tape"].how


def tape_before_it_tears() -> None:
    assert "before it tears" in FORMS["pre-tape"].how and "open" in FORMS["pre-tape"].not_on


def finger_sides() -> None:
    rule = FORMS["scrape finger sides"]
    assert "30 to 60 seconds a side" in rule.how and "never raw" in rule.how and rule.signoff_under_age == 18
    assert 7 <= rule.run_days[0] <= rule.run_days[1] <= 10
    for ahead, late in ((9, False), (8, True)):  # ends on D-3: seven evenings from D-9
        row = cast.planned(AS_OF, "toughen", rule.form, part="night")
        assert (rule.form in refused(conclude(row, ahead=ahead))) is late
        assert rule.form in refused(conclude(row, ahead=ahead, age_years=15))


def one_change_at_a_time() -> None:
    rows = [cast.planned(AS_OF, "dry", name, part="night") for name in (SPRAY, "aluminium salt")]
    both = conclude(*rows, ahead=40)
    assert {one.class_ for one in both.refused} == {"clash"} and refused(conclude(rows[0], ahead=40)) == set()


def covered_before_shared_holds() -> None:
    assert "shared holds" in FORMS["closed cover"].how and "shared holds" in FORMS["closed cover"].caution
    torn = EpisodeFact("d1", "R-index-tip", "split", AS_OF)
    assert "session tape" in forms(conclude(episodes=(torn,)))
    whitlow = (CheckInFact(AS_OF, sting=5, red_flags=("clear-blisters",)),)
    row = cast.planned(AS_OF, "cover", "closed cover", part="day")
    ill = conclude(row, checkins=whitlow)
    assert ill.today.may_climb == "medical" and "closed cover" in refused(ill) and "wax balm" not in forms(ill)


def gloves_in_wet_work() -> None:
    assert "dishes" in FORMS["dish gloves"].how and "latex" in FORMS["dish gloves"].caution


CHECKS: dict[str, Callable[[], None]] = {
    "agent-works-after-days": effect_shows_after_days,
    "agent-twice-a-day": label_decides_how_often,
    "agent-not-in-creases": never_in_creases,
    "spray-weak-to-strong": weak_spray_on_to_the_day,
    "cream-night-only": cream_at_night_only,
    "agent-and-sanding-cycle": agents_and_levelling_are_a_cycle,
    "sand-dry": filed_dry,
    "sand-lightly-between": light_sanding_between,
    "dry-skin-creams": grease_at_night,
    "dry-skin-at-the-crag": dry_skin_between_tries,
    "damp-skin-between-tries": damp_skin_between_tries,
    "liquid-base": base_without_resin,
    "chalk-fine-or-coarse": chalk_by_kind,
    "where-to-go": air_forbids_no_day,
    "deep-tip-split": deep_tip_split,
    "tape-from-tip": tape_with_the_pull,
    "pre-tape-callus": tape_before_it_tears,
    "toughen-finger-sides": finger_sides,
    "one-change-at-a-time": one_change_at_a_time,
    "broken-skin-and-shared-holds": covered_before_shared_holds,
    "hands-out-of-water": gloves_in_wet_work,
}


@pytest.mark.parametrize("name", sorted(BOOK.practice))
def test_common_practice_no_source(name: str) -> None:
    assert BOOK.practice[name].source == "common practice, no source"
    CHECKS[name]()


def test_no_check_is_left_without_its_line() -> None:
    assert set(CHECKS) == set(BOOK.practice)


def test_contradictions_hold_no_form_and_assert_nothing() -> None:
    """Two sides or more each, and nothing that a rule could read."""
    assert all(len(one.says) >= 2 and one.here for one in BOOK.contradictions.values())
    assert "sand it out" not in " ".join(one.how + one.caution for one in FORMS.values()).casefold()

"""Today's verdict by its order, the holds to avoid by site and kind, and how long pink tips rest."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from coaching.rules import holds, skin
from coaching.rules.conclusions import Limit, Today
from coaching.rules.facts import CheckInFact, EpisodeFact, LookFact, SightingFact
from tests import cast
from tests.cast import day

AS_OF = day("5-10")


def today(as_of: date = AS_OF, **changes: Any) -> Today:
    return cast.concluded(cast.athlete(as_of, **changes), cast.numbers(), as_of).today


def episode(site: str, kind: str, *looks: LookFact) -> EpisodeFact:
    return EpisodeFact("d1", site, kind, AS_OF - timedelta(days=5), looks=looks)


def pink_seen(on: date, sting: int = 6, *sites: str) -> CheckInFact:
    return CheckInFact(on, sting=sting, marks=tuple((site, "pink") for site in sites or ("L-index-tip",)))


@pytest.mark.parametrize(
    ("site", "kind", "avoid"),
    [
        ("L-index-tip", "split", {"crimp", "pocket"}),
        ("R-middle-tip-crease", "split", {"crimp", "pocket"}),
        ("R-ring-middle", "flapper", {"jug", "swing", "sloper"}),
        ("R-ring-base", "flapper", {"jug", "swing", "sloper"}),
        ("L-palm-callus", "tear", {"jug", "swing", "sloper"}),
        ("L-little-little-side", "graze", {"crack"}),
        ("R-index-back", "graze", {"crack"}),
        ("R-thumb-tip", "split", {"crimp", "pocket", "pinch"}),
        ("L-thumb-thumb-side", "graze", {"crack"}),
        ("somewhere", "split", set(holds.KINDS)),
    ],
)
def test_holds_to_avoid_by_site_and_kind(site: str, kind: str, avoid: set[str]) -> None:
    found = today(episodes=(episode(site, kind, LookFact(AS_OF, "open")),))
    assert (found.may_climb, set(found.avoid)) == ("not-those-holds", avoid)


def test_closed_and_calm_damage_is_climbed_on_protected() -> None:
    found = today(episodes=(episode("L-index-tip", "split", LookFact(AS_OF, "rimmed", pain=2)),))
    assert found == Today("protected", (), ("L-index-tip",))


@pytest.mark.parametrize(
    ("site", "kind", "pain", "may_climb"),
    [
        ("L-index-tip", "split", 2, "protected"),
        ("L-index-tip", "split", 3, "not-those-holds"),
        ("R-ring-middle", "flapper", 3, "protected"),
        ("R-ring-middle", "flapper", 4, "not-those-holds"),
        ("R-ring-middle-crease", "split", 3, "not-those-holds"),
    ],
)
def test_pain_on_a_firm_pull_has_a_limit_by_place(site: str, kind: str, pain: int, may_climb: str) -> None:
    hurt = episode(site, kind, LookFact(AS_OF, "rimmed", pain=pain, opens_on_pull=False))
    assert today(episodes=(hurt,)).may_climb == may_climb


def test_damage_nobody_looked_at_counts_as_open() -> None:
    assert today(episodes=(episode("L-index-tip", "split"),)).may_climb == "not-those-holds"


def test_a_fresh_hole_great_pain_or_three_open_sites_are_off() -> None:
    hole = EpisodeFact("d1", "L-index-tip", "holed", AS_OF - timedelta(days=2))
    assert today(episodes=(hole,)).may_climb == "off"
    pain = episode("L-index-tip", "split", LookFact(AS_OF, "open", pain=7))
    assert today(episodes=(pain,)).may_climb == "off"
    three = tuple(
        EpisodeFact(site, site, "split", AS_OF) for site in ("L-index-tip", "L-ring-tip", "R-ring-tip")
    )
    assert today(episodes=three).may_climb == "off"
    assert today(episodes=three[:2]).may_climb == "not-those-holds"


@pytest.mark.parametrize(("silent", "may_climb"), [(3, "free"), (4, "not-known")])
def test_silence_over_three_days_is_not_known(silent: int, may_climb: str) -> None:
    assert today(known_until=AS_OF - timedelta(days=silent)).may_climb == may_climb


def test_nobody_ever_answered_is_not_known() -> None:
    assert today(known_until=None, checkins=()).may_climb == "not-known"


@pytest.mark.parametrize(
    ("days_ago", "may_climb"), [(0, "off"), (2, "off"), (3, "protected"), (5, "protected"), (6, "free")]
)
def test_pink_tips_are_off_for_two_days_then_protected(days_ago: int, may_climb: str) -> None:
    seen = pink_seen(AS_OF - timedelta(days=days_ago))
    assert today(checkins=(seen,)).may_climb == may_climb


@pytest.mark.parametrize(("sting", "gone"), [(2, True), (3, False), (None, False)])
def test_pink_is_gone_with_a_calm_answer_on_a_later_day(sting: int | None, gone: bool) -> None:
    rows = (pink_seen(day("5-8")), CheckInFact(AS_OF, sting=sting))
    assert (skin.pink(cast.athlete(AS_OF, checkins=rows), AS_OF) is None) is gone


def test_pink_that_others_saw_is_gone_only_when_others_look_again() -> None:
    saw = SightingFact(day("5-8"), "coach", (("L-index-tip", "pink"),))
    calm = (CheckInFact(AS_OF, sting=0),)
    assert skin.pink(cast.athlete(AS_OF, checkins=calm, sightings=(saw,)), AS_OF) is not None
    again = (saw, SightingFact(day("5-9"), "coach"))
    assert skin.pink(cast.athlete(AS_OF, checkins=calm, sightings=again), AS_OF) is None


@pytest.mark.parametrize(
    ("label", "dampness", "sd", "expected"),
    [
        ("dry", 7.5, 0.5, "mixed"),
        ("dry", 5.0, 0.5, "dry"),
        ("dry", 7.5, 2.0, "dry"),
        (None, 2.0, 0.5, "dry"),
        (None, 7.0, 0.5, "damp"),
        (None, 7.0, 2.0, None),
    ],
)
def test_kind_of_skin_is_read_off_the_ratings(
    label: str | None, dampness: float, sd: float, expected: str | None
) -> None:
    rows = tuple(CheckInFact(one, dampness=5) for one in cast.days(day("5-3"), 8))
    facts = cast.athlete(AS_OF, skin_kind=label, checkins=rows)
    assert skin.kind(facts, cast.numbers(dampness_mean_pt=dampness, dampness_sd_pt=sd)) == expected


def limits(as_of: date, event: date | None, *sites: str) -> dict[date, Limit]:
    entries = (cast.entry(event),) if event else ()
    facts = cast.athlete(as_of, checkins=(pink_seen(as_of, 6, *sites),), entries=entries)
    figures = cast.numbers(cast.chance(0.6)) if event else cast.numbers()
    return {one.date: one for one in cast.concluded(facts, figures, as_of).limits}


def test_pink_without_an_event_rests_two_days_then_wood_then_a_test() -> None:
    found = limits(AS_OF, None)
    assert [found[one].surface for one in sorted(found)] == [None, None, None, "wood", "plastic"]


@pytest.mark.parametrize(("days_ahead", "expected"), [(3, [0, 0, 0]), (4, [0, 0, 0, 0]), (5, [0, 0, 0, None, 0])])
def test_the_day_before_the_event_is_off_and_the_days_of_it_are_not_limited(
    days_ahead: int, expected: list[int | None]
) -> None:
    found = limits(AS_OF, AS_OF + timedelta(days=days_ahead))
    assert [found[one].hard_tries for one in sorted(found)] == expected


def test_the_stricter_of_two_limits_holds() -> None:
    split = cast.split(AS_OF, "R-ring-tip")
    facts = cast.athlete(
        AS_OF,
        checkins=(pink_seen(AS_OF),),
        episodes=(split,),
        entries=(cast.entry(AS_OF + timedelta(days=6)),),
    )
    found = {one.date: one for one in cast.concluded(facts, cast.numbers(cast.chance(0.4)), AS_OF).limits}
    both = found[AS_OF + timedelta(days=4)]
    assert (both.surface, both.minutes, both.hard_tries) == ("plastic", 30, 6)

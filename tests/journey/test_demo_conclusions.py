"""The demo squad through the whole line: reasons come from the rules, forecasts from the answers."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from statistics import mean
from typing import Any

import pytest

from athletes.records import access, histories
from coaching.rules.facts import AthleteFacts, CheckInFact
from coaching.rules.numbers import AthleteNumbers
from coaching.science import versions
from coaching.usecases import clock, conclude, figuring
from coaching.usecases.import_bundle import import_bundle
from coaching.usecases.throwaway import throwaway_database

BUNDLE = Path(__file__).resolve().parents[2] / "fixtures" / "demo" / "bundle"
ANCHOR = date(2027, 3, 11)
RATED = ("reserve", "dampness", "hardness", "sting", "pull_pain")
CODES = {
    "medical", "split", "tear", "pink", "reserve", "dampness", "dryness", "glassy", "shedding", "agent", "toughening",
    "load", "layoff", "clash", "air", "silence", "disagreement", "deadline",
}  # fmt: skip


@pytest.fixture(scope="module")
def concluded(django_db_blocker: Any) -> Iterator[dict[str, conclude.Concluded]]:
    with django_db_blocker.unblock(), throwaway_database():
        import_bundle(BUNDLE, club_name="demo", now=clock.now())
        ids = [ref.id for ref in access.refs_visible(access.OPERATOR(ANCHOR))]
        assert len(histories.facts(ids, ANCHOR)) == 24
        found = conclude.concluded(ids, ANCHOR)
    yield {c.facts.athlete_id: c for c in found.values()}


def numbers(facts: AthleteFacts) -> AthleteNumbers:
    span = (conclude.PAST_DAYS, conclude.AHEAD_DAYS)
    return figuring.figures([facts], ANCHOR, versions.get(versions.CURRENT), span)[0][0]


def shuffled(facts: AthleteFacts, seed: int) -> AthleteFacts:
    """The same ratings on the same days, each set handed to another day."""
    order = list(facts.checkins)
    random.Random(seed).shuffle(order)
    moved = [_with_ratings_of(day, other) for day, other in zip(facts.checkins, order, strict=True)]
    return replace(facts, checkins=tuple(moved))


def _with_ratings_of(day: CheckInFact, other: CheckInFact) -> CheckInFact:
    return replace(day, **{name: getattr(other, name) for name in RATED}, rating_step=other.rating_step)


def silent(facts: AthleteFacts, days: int) -> AthleteFacts:
    """The same athlete had they said nothing of the last days: no answers, no logs, no looks."""
    last = ANCHOR - timedelta(days=days)
    return replace(
        facts,
        checkins=tuple(c for c in facts.checkins if c.day <= last),
        sessions=tuple(s for s in facts.sessions if s.planned or s.day <= last),
        care=tuple(c for c in facts.care if c.status == "planned" or c.day <= last),
    )


def test_every_reason_of_the_glossary_is_somebodys(concluded: dict[str, conclude.Concluded]) -> None:
    found = {r.code for c in concluded.values() for e in c.conclusion.entries for r in e.reasons}
    assert found == CODES


def test_whoever_is_not_on_course_is_told_why_and_by_when(concluded: dict[str, conclude.Concluded]) -> None:
    entries = [e for c in concluded.values() for e in c.conclusion.entries if e.level != "on-course"]
    assert len(entries) > 10
    assert all(e.reasons and e.reasons[0].date for e in entries)


def test_levels_are_spread_and_nobody_is_averaged(concluded: dict[str, conclude.Concluded]) -> None:
    levels = {e.level for c in concluded.values() for e in c.conclusion.entries}
    assert levels == {"out-of-reach", "act", "tight", "not-known", "on-course"}


def test_shuffling_an_athletes_answers_changes_the_forecast(concluded: dict[str, conclude.Concluded]) -> None:
    """If it did not, the forecast would not be reading them."""
    moved = []
    for code in ("a03", "a06", "a08", "a21"):
        facts = concluded[code].facts
        before, after = numbers(facts), numbers(shuffled(facts, seed=7))
        moved += [abs(before.entries[e].p - after.entries[e].p) for e in before.entries]
    assert max(moved) > 0.05 and mean(moved) > 0.01


def test_silence_widens_the_range_and_never_narrows_it(concluded: dict[str, conclude.Concluded]) -> None:
    for code in ("a05", "a06", "a13", "a20", "a23"):
        facts = concluded[code].facts
        spreads = [numbers(silent(facts, days)).reserve_sd_pt for days in (0, 3, 7, 14)]
        assert spreads == sorted(spreads) and spreads[-1] > spreads[0]


def test_silence_widens_the_chance_too(concluded: dict[str, conclude.Concluded]) -> None:
    """Near 0 and 1 a range has no room, so the athletes in the middle are looked at, all together."""
    wider = []
    for code in ("a03", "a06", "a14", "a20", "a21"):
        facts = concluded[code].facts
        talking, quiet = numbers(facts), numbers(silent(facts, 10))
        wider += [
            (quiet.entries[e].high - quiet.entries[e].low) - (talking.entries[e].high - talking.entries[e].low)
            for e in talking.entries
        ]
    assert mean(wider) > 0

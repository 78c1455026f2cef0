"""Four invented athletes, each in three tellings: bare, with sixty ordinary days, and with a plan that contradicts."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from tests.journey.cases.histories import Story

TELLINGS = ("bare", "usual", "contrary")
ADAEZE_DAY, TOMASZ_DAY = date(2027, 3, 11), date(2027, 4, 28)
MATEO_DAY, KWAME_DAY = date(2027, 4, 4), date(2027, 8, 16)
CREASE = "R-middle-tip-crease"
FLAPPER = "R-ring-middle"
PINK_TIPS = ("L-index-tip", "L-middle-tip", "R-middle-tip")


def adaeze(telling: str) -> Story:
    """A deep crease split on day 4 that opens when straightened, nine days before a final."""
    story = _begun("adaeze", telling, ADAEZE_DAY, birth_date="2004-06-09")
    look = {"stage": "open", "pain": 5, "opens_on_pull": "yes"}
    story.hurt(-4, CREASE, "split", look, depth="deep", length_mm=4)
    story.enters(9, entry_deadline="2027-03-18T18:00:00+01:00")
    if telling == "contrary":
        story.plans((1, 3, 5, 7, 8), hard_tries=25).care(1, "even", "sand", sites=CREASE, part="day")
        story.care(2, "mend", "glue", sites=CREASE, part="day").care(3, "mend", "thin rim", sites=CREASE)
    return story


def tomasz(telling: str) -> Story:
    """A first use of an agent asked for three days before a granite trip."""
    story = _begun("tomasz", telling, TOMASZ_DAY, birth_date="2002-11-30", skin_kind="mixed")
    story.add("places", place_id="korvala", name="Korvala", kind="crag", rock="granite")
    story.enters(3, 9, kind="trip", place_id="korvala")
    for night in range(3):
        story.care(night, "dry", "methenamine cream", part="night", strength="medium")
    if telling == "contrary":
        story.plans((1, 2), surface="sharp rock").care(0, "dry", "methenamine spray", part="evening")
        story.care(3, "dry", "methenamine cream", part="night")
    return story


def mateo(telling: str) -> Story:
    """Three pink tips on the Sunday evening of one event, the next one six days later."""
    story = _begun("mateo", telling, MATEO_DAY, birth_date="1998-12-01")
    story.answer(0, reserve=3, sting=6, marks=";".join(f"{site}=pink" for site in PINK_TIPS))
    story.enters(-1, 0, surface="plastic")
    story.enters(6, surface="plastic", entry_deadline="2027-04-08T18:00:00+02:00")
    if telling == "contrary":
        story.plans((1, 2, 3, 4, 5), minutes=120, rpe=8, surface="fresh plastic", hard_tries=30)
        story.care(1, "even", "sand", part="evening").care(5, "even", "level callus", part="day")
    return story


def kwame(telling: str) -> Story:
    """A ripped middle pad five days before an event, told on the evening it happened."""
    story = _begun("kwame", telling, KWAME_DAY, birth_date="2002-01-20")
    story.hurt(0, FLAPPER, "flapper", length_mm=12, width_mm=8, cause="swing").enters(5)
    if telling == "contrary":
        story.plans((1, 2, 3, 4), hard_tries=20).care(1, "even", "sand", sites=FLAPPER, part="day")
    return story


def split_beside_flapper(telling: str) -> Story:
    """The same day and event as the ripped pad, but the split of an index tip."""
    story = _begun("kwame-split", telling, KWAME_DAY, birth_date="2002-01-20")
    return story.hurt(0, "R-index-tip", "split", depth="deep", length_mm=5).enters(5)


def _begun(name: str, telling: str, as_of: date, **profile: str) -> Story:
    story = Story(f"{name}-{telling}", as_of, profile)
    return story if telling == "bare" else story.ordinary().in_a_squad()


CASES: dict[date, tuple[Callable[[str], Story], ...]] = {
    ADAEZE_DAY: (adaeze,),
    TOMASZ_DAY: (tomasz,),
    MATEO_DAY: (mateo,),
    KWAME_DAY: (kwame, split_beside_flapper),
}


def told(*who: Callable[[str], Story]) -> list[Story]:
    return [tell(telling) for tell in who for telling in TELLINGS]

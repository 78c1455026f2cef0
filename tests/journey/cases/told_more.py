"""Six more invented cases of the trade, each with neighbours of it: other days, zones, ages and sites, and what lies
just on the other side of a border.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

from tests.journey.cases.histories import Story

LINH_DAY, TENZIN_DAY, AIKO_DAY = date(2027, 5, 10), date(2027, 8, 30), date(2027, 5, 31)
LUCIA_DAY, DMITRI_DAY, YOUTH_DAY = date(2027, 9, 9), date(2027, 11, 2), date(2027, 6, 11)
HALL_AIR, DAMP_AIR, ARID_AIR = (22.0, 45.0), (29.0, 78.0), (10.0, 15.0)
SPLIT_INDEX = "R-index-tip"
DAY = timedelta(days=1)
Air = tuple[float, float]


def placed(story: Story, first: int, air: Air | None, home: Air = HALL_AIR, **event: Any) -> Story:
    """Training in a hall of one's own, and an event elsewhere whose air was forecast yesterday."""
    hall, venue = f"{story.athlete_id}-hall", f"{story.athlete_id}-venue"
    story.add("places", place_id=hall, name="Hall", kind="hall").add("places", place_id=venue, name="Venue")
    for offset in range(-26, 0, 2):
        _hour(story, hall, offset, home)
        story.trained(offset, place_id=hall)
    for offset in range(first, first + 2) if air else ():
        _hour(story, venue, offset, air or home, known_at=f"{story.day(-1)}T06:00:00+00:00")
    return story.enters(first, event.pop("last", None), place_id=venue, **event)


def _hour(story: Story, place: str, offset: int, air: Air, **known: str) -> None:
    for hour in (10, 14, 18):
        at = f"{story.day(offset)}T{hour}:00:00+00:00"
        story.add("air", place_id=place, starts_at=at, temp_c=air[0], rh_pct=air[1], **known)


def rated(story: Story, days: int = 28, **said: int) -> Story:
    for offset in range(-days, 1):
        story.answer(offset, **said)
    return story


def damp(name: str, first: int, air: Air | None = DAMP_AIR, used: bool = True, **profile: Any) -> Story:
    """Damp skin, a humid venue, iontophoresis tolerated a year ago."""
    story = rated(Story(name, LINH_DAY, {"birth_date": "2000-11-05", "skin_kind": "damp"} | profile), dampness=7)
    for offset in range(-340, -310, 3) if used else ():
        story.care(offset, "dry", "iontophoresis", part="evening", reaction="none")
    return placed(story, first, air)


def linh() -> list[Story]:
    travels = damp("linh-travels", 33).own("away", first_day="2027-06-08", last_day="2027-06-11", kind="travel")
    second = damp("linh-second", 33)
    for offset in range(2, 28, 2):
        second.care(offset, "dry", "iontophoresis", part="evening")
    second.care(27, "dry", "aluminium salt", part="night").care(28, "dry", "methenamine spray", part="evening")
    return [
        damp("linh", 33),
        damp("linh-new", 33, used=False),
        travels,
        second,
        damp("linh-29", 29),
        damp("linh-31", 31),
        damp("linh-same-air", 33, air=(22.5, 47.0)),
        damp("linh-auckland", 33, timezone="Pacific/Auckland"),
        damp("linh-dry", 33, skin_kind="dry"),
    ]


def dry(name: str, first: int, kind: str = "dry", wet: int = 2, **profile: Any) -> Story:
    """Dry skin on the team's agent twice a week, going to high, arid rock."""
    story = rated(Story(name, TENZIN_DAY, {"birth_date": "2006-02-11", "skin_kind": kind} | profile), dampness=wet)
    for offset in range(-30, 0, 3):
        story.care(offset, "dry", "methenamine cream", part="night", strength="medium")
    for offset in range(2, first - 3, 4):
        story.care(offset, "dry", "methenamine cream", part="night", strength="medium")
    placed(story, first, None, last=first + 14, kind="trip", surface="sharp rock")
    for offset in range(first - 5, first):
        _hour(story, f"{name}-venue", offset, ARID_AIR, known_at=f"{story.day(-1)}T06:00:00+00:00")
    for offset in range(first, first + 3):
        _hour(story, f"{name}-venue", offset, ARID_AIR, known_at=f"{story.day(-1)}T06:00:00+00:00")
    return story.own("away", first_day=story.day(first - 2), last_day=story.day(first - 2), kind="travel")


def tenzin() -> list[Story]:
    return [dry("tenzin", 19), dry("tenzin-13", 13), dry("tenzin-14", 14), dry("tenzin-mixed", 19, "mixed", 5)]


def minor(name: str, born: str = "2011-03-01", signed: tuple[str, ...] = (), **profile: Any) -> Story:
    """A damp minor with a formaldehyde allergy, and every agent wished for in one week."""
    said = {"birth_date": born, "skin_kind": "damp", "sensitivities": "formaldehyde"} | profile
    story = rated(Story(name, AIKO_DAY, said), dampness=7)
    story.care(3, "dry", "methenamine spray", part="evening").care(3, "dry", "methenamine cream", part="night")
    story.care(5, "dry", "aluminium salt", part="night").care(6, "dry", "iontophoresis", part="evening")
    for by in signed:
        for form in ("methenamine spray", "aluminium salt", "iontophoresis"):
            story.own("signoffs", form=form, by=by, given_on=story.day(0))
    return placed(story, 40, DAMP_AIR)


def aiko() -> list[Story]:
    eighteen = (AIKO_DAY + 6 * DAY).replace(year=2009).isoformat()
    return [
        minor("aiko"),
        minor("aiko-guardian", signed=("guardian",)),
        minor("aiko-both", signed=("guardian", "medical")),
        minor("aiko-clear", sensitivities="", signed=("guardian", "medical")),
        minor("aiko-adult", born="2009-05-31"),
        minor("aiko-day-short", born=eighteen),
        minor("aiko-eleven", born="2015-06-10", signed=("guardian", "medical")),
        minor("aiko-methenamine", sensitivities="methenamine"),
    ]


def infected(name: str, flags: str, **profile: Any) -> Story:
    """A split on the fifth day of a trip that looks infected, with a plan full of tape and glue."""
    story = rated(Story(name, LUCIA_DAY, {"birth_date": "2009-02-20"} | profile), 12)
    story.answer(0, red_flags=flags, sting=7, pull_pain=7)
    look = {"stage": "open", "pain": 7, "opens_on_pull": "yes"}
    story.hurt(-5, SPLIT_INDEX, "split", look, depth="deep").enters(-3, 6, kind="trip", surface="sharp rock")
    for form, verb in (("session tape", "cover"), ("glue", "mend"), ("sand", "even"), ("wax balm", "soften")):
        story.care(1, verb, form, sites=SPLIT_INDEX)
    return story.plans(range(1, 6), surface="sharp rock")


def lucia() -> list[Story]:
    told = "spreading-redness;warmth;throbbing;pus"
    seen = infected("lucia-seen", told).own("sightings", local_date="2027-09-09", by="medical", marks="")
    return [
        infected("lucia", told),
        infected("lucia-joint", f"{told};redness-past-joint"),
        infected("lucia-straight", "pain-on-straightening"),
        infected("lucia-blisters", "clear-blisters"),
        infected("lucia-auckland", told, timezone="Pacific/Auckland"),
        seen,
        infected("lucia-well", ""),
    ]


def fine(name: str, days: int = 9, until: int = 0, seen: int | None = -1, by: str = "coach", **said: int) -> Story:
    """Equal calm answers for so many days, and what somebody else saw."""
    story = Story(name, DMITRI_DAY, {"birth_date": "2000-04-01"})
    calm = {"reserve": 8, "dampness": 5, "hardness": 4, "sting": 0, "pull_pain": 0, "seconds": 3} | said
    for offset in range(until - days + 1, until + 1):
        story.answer(offset, **calm)
    if seen is not None:
        marks = ";".join(f"{site}=pink" for site in ("L-index-tip", "L-middle-tip", "R-middle-tip"))
        story.own("sightings", local_date=story.day(seen), by=by, marks=marks)
    return story.plans((1, 3)).enters(4)


def dmitri() -> list[Story]:
    worse = fine("dmitri-told-pain").answer(0, sting=4, pull_pain=4)
    return [
        fine("dmitri"),
        fine("dmitri-7", days=7),
        fine("dmitri-6", days=6),
        fine("dmitri-unseen", seen=None),
        fine("dmitri-medical", by="medical"),
        fine("dmitri-old", seen=-4),
        worse,
    ]


def youth() -> list[Story]:
    """Twenty-four under eighteens on the evening before an event: 21 answers, three open, three missing."""
    squad = []
    for n in range(1, 25):
        story = Story(f"y{n:02}", YOUTH_DAY, {"birth_date": "2011-01-15"}).ordinary(28, until=-5 if n > 21 else 0)
        story.add("squads", squad_id="youth", name="Youth", athlete_id=f"y{n:02}").enters(1)
        squad.append(story)
    fresh = {"stage": "open", "pain": 3}
    squad[0].hurt(-1, "L-index-tip", "split", fresh)
    squad[1].hurt(-1, "R-ring-middle", "flapper", fresh)
    squad[2].hurt(0, "L-middle-base", "flapper", fresh)
    for story in squad[3:8]:
        story.answer(0, reserve=4, sting=4, marks="R-middle-tip=pink")
    for story in squad[8:10]:
        story.answer(0, hardness=8, marks="R-middle-tip=glassy")
    return squad


MORE: dict[date, Callable[[], list[Story]]] = {
    LINH_DAY: linh,
    TENZIN_DAY: tenzin,
    AIKO_DAY: aiko,
    LUCIA_DAY: lucia,
    DMITRI_DAY: dmitri,
    YOUTH_DAY: youth,
}

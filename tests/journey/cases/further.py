"""More invented situations of one day in April: trips under way, days after an event, skin that was open before, two
agents at once, signatures that run out, and hours that close far away.
"""

from __future__ import annotations

from datetime import date

from tests.journey.cases.histories import Story
from tests.journey.cases.told_more import placed, rated

AS_OF = date(2027, 4, 7)  # a Wednesday
HISTORY_DAYS = 28
OPEN = {"stage": "open", "pain": 4, "opens_on_pull": "yes"}
CLOSED = {"stage": "rimmed", "pain": 1, "opens_on_pull": "no"}
TRIP = {"kind": "trip", "surface": "sharp rock"}


def stories() -> list[Story]:
    return [*_trips(), *_damage(), *_agents(), *_people()]


def _who(name: str, until: int = 0, **profile: str) -> Story:
    return Story(name, AS_OF, {"skin_kind": "mixed"} | profile).ordinary(HISTORY_DAYS, until)


def _trips() -> list[Story]:
    days_on = _who("three-days-on").enters(-3, 5, **TRIP).plans(range(1, 6), surface="sharp rock", minutes=240, rpe=8)
    for offset in (-2, -1, 0):
        days_on.trained(offset, surface="sharp rock", minutes=240, rpe=8)
    one_on = _who("one-day-on").enters(0, 5, **TRIP).plans(range(1, 5), surface="sharp rock", minutes=240, rpe=8)
    one_on.trained(0, surface="sharp rock", minutes=240, rpe=8)
    fine = _who("fine-rock").enters(-2, 5, kind="trip", surface="fine rock").plans(range(1, 5), surface="fine rock")
    for offset in (-1, 0):
        fine.trained(offset, surface="fine rock", minutes=240, rpe=8)
    flight = rated(Story("dry-flight", AS_OF, {"skin_kind": "dry"}), dampness=2)
    flight.own("away", first_day=flight.day(3), last_day=flight.day(3), kind="travel").enters(5)
    return [
        days_on,
        one_on,
        fine,
        flight,
        _who("event-then-trip").enters(2).enters(6, 12, **TRIP).plans(range(6, 13), surface="sharp rock"),
        _who("nothing-left").answer(0, reserve=0, sting=8).plans((1, 2)).enters(9),
    ]


def _damage() -> list[Story]:
    again = _who("open-again").hurt(-12, "R-index-tip", "split", depth="deep")
    for offset, look in ((-5, CLOSED), (-1, OPEN), (0, OPEN)):
        again.add("damage_looks", episode_id="open-again-1", local_date=again.day(offset), **look)
    raw = _who("raw-side").hurt(0, "R-index-little-side", "graze", {"stage": "open", "pain": 4}, depth="shallow")
    raw.care(0, "toughen", "scrape finger sides", part="night", sites="R-index-little-side")
    return [
        again.enters(6, entry_deadline="2027-04-11T20:00:00-05:00", timezone="America/Bogota"),
        raw.enters(10, 13, styles="crack", kind="trip"),
        _who("closes-tonight-far-away")
        .hurt(-2, "R-ring-middle", "flapper", {"stage": "closing", "pain": 2, "opens_on_pull": "no"})
        .enters(3, timezone="Pacific/Honolulu", entry_deadline="2027-04-07T23:30:00-10:00"),
        _who("palm-and-crimps").hurt(-1, "R-palm-callus", "flapper", {"stage": "open", "pain": 4}).enters(
            10, styles="crimp"
        ),
        _who("blood-blister").hurt(-1, "R-ring-tip", "blister", {"stage": "open", "pain": 3}).enters(4),
        _who("found-in-the-event").enters(-1).hurt(-1, "L-middle-tip-crease", "split", OPEN, depth="deep").enters(13),
    ]


def _agents() -> list[Story]:
    glassy, two = _who("glassy", skin_kind="damp"), _who("known-and-new", skin_kind="damp")
    for offset in range(-20, 0, 2):
        glassy.care(offset, "dry", "methenamine spray", part="evening", strength="strong")
        two.care(offset, "dry", "aluminium salt", part="night", reaction="none")
    for offset in (-2, -1, 0):
        glassy.answer(offset, hardness=9, dampness=2, marks="R-index-tip=glassy")
    for offset in (2, 4):
        glassy.care(offset, "dry", "methenamine spray", part="evening", strength="strong")
    two.care(1, "dry", "aluminium salt", part="night").care(1, "dry", "methenamine spray", part="evening")
    goes_on = _who("weak-spray", skin_kind="damp")
    for offset in range(-30, 0, 2):
        goes_on.care(offset, "dry", "methenamine spray", part="evening", strength="weak", reaction="none")
        goes_on.answer(offset, dampness=8)
    for offset in range(4):
        goes_on.care(offset, "dry", "methenamine spray", part="evening", strength="weak")
    goes_on.care(2, "dry", "methenamine cream", part="night", strength="strong")
    dry = rated(Story("dry-in-damp-air", AS_OF, {"skin_kind": "dry"}), dampness=2)
    dry.care(1, "dry", "aluminium salt", part="night").care(2, "dry", "alcohol base", part="day")
    return [glassy.enters(6), two.enters(20), goes_on.enters(4), placed(dry, 20, (29.0, 78.0))]


def _people() -> list[Story]:
    lapses = _who("signature-runs-out", birth_date="2011-04-20", skin_kind="damp")
    lapses.own("signoffs", form="aluminium salt", by="guardian", given_on="2027-04-02", until="2027-04-11")
    lapses.own("signoffs", form="aluminium salt", by="medical", given_on="2027-04-02")
    return [
        lapses.care(1, "dry", "aluminium salt", part="night").care(9, "dry", "aluminium salt", part="night").enters(30),
        _who("heart", skin_kind="damp", contraindications="heart;numb-skin")
        .care(1, "dry", "iontophoresis", part="evening")
        .care(1, "toughen", "scrape finger sides", part="evening")
        .enters(40, styles="crack"),
        _who("pregnant", skin_kind="damp", contraindications="pregnancy")
        .care(1, "dry", "methenamine liquid", part="evening")
        .care(2, "dry", "iontophoresis", part="evening")
        .enters(40),
    ]

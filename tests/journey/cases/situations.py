"""Further invented situations, many athletes on one day in one bundle. A story says only what matters to it."""

from __future__ import annotations

from datetime import date

from tests.journey.cases.histories import Story

AS_OF = date(2027, 5, 12)  # a Wednesday
HISTORY_DAYS = 28
SAME_DAY_FLAGS = (
    "swelling", "spreading-redness", "warmth", "throbbing", "rising-pain", "pus", "swollen-glands",
    "clear-blisters", "numb",
)  # fmt: skip
EMERGENCY_FLAGS = ("redness-past-joint", "streak", "fever", "cannot-bend", "pain-on-straightening")
OPEN = {"stage": "open", "pain": 4, "opens_on_pull": "yes"}
BOTH = ("guardian", "medical")


def stories() -> list[Story]:
    groups = (_splits(), _other_damage(), _flags(), _agents(), _minors(), _care(), _toughening(), _when())
    return [story for group in groups for story in group]


def _who(name: str, until: int = 0, **profile: str) -> Story:
    return Story(name, AS_OF, {"skin_kind": "mixed"} | profile).ordinary(HISTORY_DAYS, until)


def _splits() -> list[Story]:
    crease, tip = "R-middle-tip-crease", "R-index-tip"
    closes, closed = "2027-05-13T18:00:00+02:00", "2027-05-11T18:00:00+02:00"
    both = _who("two-hands").hurt(-3, "L-index-tip", "split", OPEN, depth="deep")
    return [
        _who("deep-late").hurt(0, crease, "split", OPEN, depth="deep").enters(2, entry_deadline=closes),
        _who("deep-too-late").hurt(0, crease, "split", OPEN, depth="deep").enters(2, entry_deadline=closed),
        _who("shallow").hurt(0, tip, "split", {"stage": "open", "pain": 2}, depth="shallow").enters(5),
        _who("not-needed")
        .hurt(-1, "R-ring-thumb-side", "split", {"stage": "open", "pain": 2}, depth="shallow")
        .enters(5, needs_sites="L-index-tip;R-index-tip"),
        both.hurt(-2, "R-ring-tip", "split", OPEN, depth="deep").enters(9),
        _who("two-events")
        .hurt(-1, tip, "split", OPEN, depth="deep")
        .enters(4, entry_deadline="2027-05-14T18:00:00+02:00")
        .enters(10, entry_deadline="2027-05-20T18:00:00+02:00"),
        _who("no-tape", sensitivities="adhesive").hurt(-2, tip, "split", OPEN, depth="deep").enters(9),
        _who("closed").hurt(-6, tip, "split", {"stage": "rimmed", "pain": 1, "opens_on_pull": "no"}).enters(7),
        _who("told-today", until=-6).hurt(0, tip, "split", depth="shallow").enters(9),
        _who("taped-by-day").hurt(-12, tip, "split", {"stage": "closing", "pain": 1, "opens_on_pull": "no"}).enters(9),
    ]


def _other_damage() -> list[Story]:
    fresh = {"stage": "open", "pain": 3}
    trip = _who("holed-trip").hurt(0, "L-middle-tip", "holed", fresh, cause="one try too many")
    return [
        _who("blister").hurt(0, "R-ring-middle", "blister", fresh).enters(9),
        trip.enters(-1, 7, kind="trip", surface="sharp rock").plans(range(1, 8), surface="sharp rock"),
        _who("pink-trip")
        .answer(0, reserve=3, sting=6, marks="R-index-tip=pink")
        .enters(-1, 7, kind="trip", surface="sharp rock")
        .plans(range(1, 8), surface="sharp rock"),
        _who("three-open")
        .hurt(-1, "L-index-tip", "split", fresh)
        .hurt(-1, "R-ring-base", "flapper", fresh)
        .hurt(0, "R-index-middle", "blister", fresh)
        .enters(12),
        _who("sore").hurt(-1, "L-index-tip", "split", {"stage": "open", "pain": 8}).enters(12),
        _who("flapper-tip").hurt(0, "R-index-tip", "flapper", fresh).enters(6),
        _who("flapper-base").hurt(0, "R-ring-base", "flapper", fresh).enters(6),
        _who("dirty-cut")
        .hurt(0, "L-ring-middle", "cut", fresh, depth="deep", worries="dirty")
        .care(0, "mend", "glue", part="day", sites="L-ring-middle")
        .enters(9),
        _who("deep-split-glue")
        .hurt(0, "L-ring-tip", "split", {"stage": "open", "pain": 3}, depth="deep")
        .care(1, "mend", "glue", part="day", sites="L-ring-tip")
        .enters(9),
        _who("bitten")
        .hurt(0, "R-thumb-base", "cut", fresh, depth="shallow", worries="bite;tetanus-unknown")
        .enters(9),
        _who("tetanus").hurt(0, "R-thumb-base", "graze", fresh, depth="shallow", worries="tetanus-unknown").enters(9),
    ]


def _flags() -> list[Story]:
    """An old open split, a red flag this morning, and a plan full of things that must not be done."""
    return [_flagged(flag) for flag in (*SAME_DAY_FLAGS, *EMERGENCY_FLAGS)]


def _flagged(flag: str) -> Story:
    site = "L-index-tip"
    story = _who(f"flag-{flag}").answer(0, red_flags=flag, sting=6, pull_pain=6)
    story.hurt(-5, site, "split", OPEN, depth="deep").enters(9, entry_deadline="2027-05-19T18:00:00+02:00")
    story.care(0, "cover", "session tape", part="day", sites=site).care(0, "mend", "glue", part="day", sites=site)
    return story.care(1, "even", "sand", part="evening", sites=site).care(1, "cover", "night tape", part="night")


def _agents() -> list[Story]:
    user = _who("tolerant").enters(6)
    for offset in range(-42, 0, 3):
        user.care(offset, "dry", "methenamine cream", part="night", strength="medium", reaction="none")
    user.care(2, "dry", "methenamine cream", part="night").care(4, "dry", "methenamine cream", part="night")
    early, late = _dry("dry-20", 20), _dry("dry-10", 10)
    second = _who("second-agent").care(-6, "dry", "methenamine cream", part="night").care(-60, "dry", "aluminium salt")
    return [
        user,
        early,
        late,
        second.care(0, "dry", "aluminium salt", part="night").enters(5),
        _who("aluminium-5").care(0, "dry", "aluminium salt", part="night").enters(5),
        _who("implant", contraindications="implant")
        .care(1, "dry", "iontophoresis", part="evening")
        .enters(40),
        _who("formaldehyde", sensitivities="formaldehyde")
        .care(1, "dry", "methenamine spray", part="evening")
        .enters(30),
        _who("reacted")
        .care(-2, "dry", "methenamine cream", part="night", reaction="stopped")
        .care(1, "dry", "methenamine cream", part="night")
        .enters(30),
        _who("early-first-use").care(1, "dry", "methenamine cream", part="night").enters(30),
    ]


def _dry(name: str, first_day: int) -> Story:
    """Dry skin on an agent from team habit, with more of it planned."""
    story = _who(name, skin_kind="dry")
    for offset in range(-28, 1, 4):
        story.answer(offset, dampness=2).care(offset - 1, "dry", "methenamine cream", part="night")
    return story.care(2, "dry", "methenamine cream", part="night").enters(first_day)


def _minors() -> list[Story]:
    """Iontophoresis six weeks before an event; who is under 18 needs two signatures, under 12 none will do."""
    signed = {"minor-unsigned": (), "minor-guardian": ("guardian",), "minor-medical": ("medical",), "minor-both": BOTH}
    found = [_minor(name, "2011-04-04", by) for name, by in signed.items()]
    found.append(_minor("under-12", "2016-04-04", BOTH))
    lapsed = _minor("minor-lapsed", "2011-04-04", ("medical",))
    lapsed.own("signoffs", form="iontophoresis", by="guardian", given_on="2027-01-01", until="2027-05-01")
    return [*found, lapsed]


def _minor(name: str, born: str, signed_by: tuple[str, ...]) -> Story:
    story = _who(name, birth_date=born, skin_kind="damp").care(1, "dry", "iontophoresis", part="evening")
    for by in signed_by:
        story.own("signoffs", form="iontophoresis", by=by, given_on="2027-05-01")
    return story.enters(42)


def _care() -> list[Story]:
    pink = _who("sand-on-pink").answer(0, reserve=3, sting=6, marks="R-index-tip=pink")
    cream = _who("cream-first").plans((1,))
    for form in ("oil-based cream", "wax balm", "humectant cream"):
        cream.care(1, "soften", form, part="day")
    return [
        _who("sand-eve").care(4, "even", "sand", part="day").care(2, "even", "sand", part="evening").enters(5),
        pink.care(1, "even", "sand", part="evening", sites="R-index-tip").enters(9),
        cream.care(1, "soften", "oil-based cream", part="night").enters(9),
        _who("cream-and-file")
        .care(1, "even", "level callus", part="evening")
        .care(1, "soften", "water-based cream", part="evening")
        .enters(9),
    ]


def _toughening() -> list[Story]:
    young = _who("crack-minor", birth_date="2011-04-04").care(0, "toughen", "scrape finger sides", part="night")
    return [
        _who("crack-16").enters(16, 18, kind="trip", styles="crack"),
        _who("crack-6").enters(6, 8, kind="trip", styles="crack"),
        young.enters(16, 18, kind="trip", styles="crack"),
        _who("crack-eve").care(5, "toughen", "scrape finger sides", part="night").enters(7, styles="crack"),
        _run("crack-run-late", 8),
        _run("crack-run-in-time", 14),
    ]


def _run(name: str, first_day: int) -> Story:
    """Eight evenings of scraping from tonight on."""
    story = _who(name).enters(first_day, styles="crack")
    for evening in range(8):
        story.care(evening, "toughen", "scrape finger sides", part="night")
    return story


def _when() -> list[Story]:
    far = {"timezone": "Pacific/Auckland", "entry_deadline": "2027-05-14T06:00:00+12:00"}
    west = {"timezone": "America/Los_Angeles", "entry_deadline": "2027-05-13T18:00:00-07:00"}
    ripped = {"stage": "open", "pain": 3}
    return [
        _who("silent-3", until=-3).enters(9),
        _who("silent-4", until=-4).enters(9),
        _who("never-seen", until=-400).enters(9),
        _who("event-today").enters(0),
        _who("event-past").enters(-2),
        _who("withdrawn").enters(5, status="withdrawn").enters(20),
        _who("away").own("away", first_day="2027-05-10", last_day="2027-05-14", kind="illness").enters(9),
        _who("far-east").hurt(0, "R-ring-base", "flapper", ripped).enters(6, **far),
        _who("far-west").hurt(0, "R-ring-base", "flapper", ripped).enters(6, **west),
        _who("calm").enters(9),
    ]

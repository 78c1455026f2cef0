"""Hand-made values that pages are shown, for tests of words and templates. All names are invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from coaching.rules.conclusions import Deadline, Fallback, Limit, Reason, Refusal, Step, Today
from coaching.usecases import shown

AS_OF = date(2027, 3, 11)  # a Thursday
EVERYTHING = frozenset({"level", "checkins", "notes", "photos", "damage"})
CUP = shown.EventShown(
    "lindmark-cup",
    "Lindmark Cup",
    "competition",
    date(2027, 3, 20),
    date(2027, 3, 20),
    "Europe/Stockholm",
    datetime(2027, 3, 18, 17, tzinfo=UTC),
)
CREASE = "R-middle-tip-crease"


def in_march(day: int) -> date:
    return date(2027, 3, day)


def crease_split() -> Reason:
    """An open crease split: usable taped by the event in four of ten courses, sound in one of twenty."""
    seen = {
        "stage": "open",
        "kind": "split",
        "opens_on_pull": True,
        "pain": 5,
        "p_usable": 0.4,
        "p_sound": 0.05,
    }
    return Reason("split", CREASE, in_march(15), seen)


def deadlines() -> tuple[Deadline, ...]:
    look = Deadline("look", in_march(13), in_march(15), 2, "open", "deadline.look", site=CREASE)
    tried = Deadline(
        "taped-try",
        in_march(15),
        in_march(17),
        2,
        "open",
        "deadline.taped-try",
        if_="look:2027-03-17",
        site=CREASE,
    )
    entry = Deadline("entry", None, in_march(18), 7, "open", "deadline.entry", at="2027-03-18T18:00:00+01:00")
    missed = Deadline("even-last", None, in_march(9), -2, "missed", "deadline.even-last")
    return missed, look, tried, entry


def entry(level: str = "act", reasons: tuple[Reason, ...] | None = None) -> shown.EntryShown:
    return shown.EntryShown(
        event=CUP,
        level=level,
        p=None if level == "not-known" else 0.46,
        low=0.31,
        high=0.62,
        bar_frac=0.6,
        bar_provisional=True,
        good_days=None,
        reasons=(crease_split(),) if reasons is None else reasons,
        deadlines=deadlines(),
        fallbacks=(Fallback("stand-in", {"by": "2027-03-18T18:00:00+01:00", "p_lost": 0.46}),),
        parts={"reserve": 0.04, "air": 0.001},
        episode_parts={"ep1": 0.38},
        p_usual=0.92,
        level_before="tight",
        p_before=0.7,
    )


def split_shown() -> shown.DamageShown:
    return shown.DamageShown(
        episode_id="ep1",
        site=CREASE,
        kind="split",
        depth="deep",
        noticed_on=in_march(7),
        stage="open",
        looked_on=in_march(10),
        pain=5,
        opens_on_pull=True,
        spans=(
            shown.StageSpan("open", in_march(7), AS_OF, expected=False),
            shown.StageSpan("closing", in_march(12), in_march(16), expected=True),
        ),
        sound_early=in_march(18),
        sound_median=in_march(24),
        sound_late=in_march(29),
        usable_median=in_march(17),
        usable_late=in_march(20),
    )


def course() -> tuple[shown.CourseDay, ...]:
    days = (AS_OF + timedelta(days=n) for n in range(-7, 15))
    return tuple(
        shown.CourseDay(d, 0.4, 0.25, 0.6, 0.35, 0.5, d != in_march(9))
        if d >= AS_OF
        else shown.CourseDay(d, 0.5, None, None, None, None, d != in_march(9))
        for d in days
    )


def picture() -> shown.PictureShown:
    first = AS_OF - timedelta(days=56)
    return shown.PictureShown(
        first_day=first,
        load=tuple(
            shown.LoadDay(first + timedelta(days=n), 1.5 if n % 2 else None, 1.0 if n % 3 else None) for n in range(85)
        ),
        care=(shown.CareRun("mend", "moist cover", in_march(8), in_march(14), planned=True),),
        damage=(split_shown(),),
        marks=(shown.MarkShown("L-index-tip", "pink", in_march(10), "athlete"),),
        events=(CUP,),
        silent=(in_march(9),),
        course=course(),
        load_7d_slu=5.2,
        load_7d_unknown_days=1,
        load_7d_percentile=None,
        monotony=None,
        reserve_mean_pt=5.6,
        usual_reserve_pt=8.1,
        dampness_mean_pt=4.0,
        hardness_mean_pt=None,
    )


def athlete(code: str = "a01", name: str = "Adaeze", **changes: object) -> shown.AthleteShown:
    whole = shown.AthleteShown(
        code=code,
        name=name,
        shared=EVERYTHING,
        as_of=AS_OF,
        computed_at=datetime(2027, 3, 11, 6, 4, tzinfo=UTC),
        stale=False,
        known_until=in_march(11),
        medical="none",
        today=Today("not-those-holds", ("crimp", "pocket"), (CREASE,)),
        entries=(entry(),),
        limits=(Limit(in_march(17), "plastic", 30, 6, "look:2027-03-17"),),
        steps=(
            Step(
                AS_OF, "night", "cover", "moist cover", (CREASE,), "cover.moist-cover",
                "Not over a dirty wound.", "common practice, no source", None, "Clean it, cover it.",
            ),
        ),
        refused=(
            Refusal("dry", "methenamine spray", "dry", False, "timing", ("fan", "shade"), in_march(12)),
        ),
        picture=picture(),
        model="model-1",
        rulebook="rulebook-1",
    )  # fmt: skip
    return replace(whole, **changes)  # type: ignore[arg-type]


def line(row: shown.AthleteShown) -> shown.ListLine:
    """The athlete as a line; the key is the value in words, so that what differs is told apart."""
    return shown.ListLine(repr(row), row.as_of, row.computed_at, lambda: row)


def morning(*rows: shown.AthleteShown, stale: int = 0, not_shared: int = 0) -> shown.MorningList:
    """A list in the order given, as the use-case gives it."""
    known_at, lines = datetime(2027, 3, 11, 6, 4, tzinfo=UTC), tuple(line(row) for row in rows)
    return shown.MorningList(AS_OF, known_at, ("Hall group",), lines, stale, not_shared)

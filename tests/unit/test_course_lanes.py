"""Lanes of a course under a chart that a script draws: on its days, whatever the width of the page."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest

from coaching.drawing.course import LANES_DESK, LANES_PHONE, CourseData, Lane, LanesSize, draw_lanes
from coaching.drawing.season import draw_head
from coaching.drawing.timeline import CareRun, Days, EventBox, LoadDay

TODAY = date(2027, 3, 11)
FIRST, LAST = TODAY - timedelta(days=7), TODAY + timedelta(days=12)
CUP = EventBox(date(2027, 3, 20), date(2027, 3, 20), "Lindmark Cup")


def lanes(*found: Lane) -> CourseData:
    names = tuple("d" for _ in range((LAST - FIRST).days + 1))
    return CourseData(FIRST, LAST, TODAY, "course", "Chance", "bar", names, events=(CUP,), lanes=found)


@pytest.mark.parametrize("size", [LANES_DESK, LANES_PHONE])
def test_days_fill_what_lies_between_the_margins(size: LanesSize) -> None:
    """A chart with the same margins, as shares of its width, has each day over that of the lanes."""
    days = size.days(FIRST, LAST)
    assert days.x(FIRST) == size.left and days.x(LAST) + days.day_px == pytest.approx(size.width - size.right)
    drawn = draw_lanes(lanes(Lane("Sessions", loads=(LoadDay(TODAY, 1.0, 6, done=True),))), size)
    box = re.search(r'class="event-box"[^>]*', drawn)
    assert box and float(re.search(r' x="([\d.]+)"', box[0])[1]) == pytest.approx(days.x(CUP.first), abs=0.06)  # type: ignore[index]
    assert f'viewBox="0 0 {size.width:g} ' in drawn


def test_without_lanes_nothing_is_drawn() -> None:
    assert draw_lanes(lanes(), LANES_DESK) == ""


def test_a_word_is_said_once_where_it_would_cover_itself_and_again_where_it_is_another() -> None:
    days = [TODAY + timedelta(days=n) for n in (0, 1, 2, 9)]
    cream = tuple(CareRun("humectant cream", day, day) for day in days)
    drawn = draw_lanes(lanes(Lane("soften", care=cream)), LANES_PHONE)
    assert drawn.count(">humectant cream<") == 2 and drawn.count('class="care-ahead"') == 4
    other = (*cream[:1], CareRun("wax balm", days[1], days[1]))
    drawn = draw_lanes(lanes(Lane("soften", care=other)), LANES_PHONE)
    assert ">humectant cream<" in drawn and ">wax balm<" in drawn


def test_a_season_names_its_events_side_by_side_or_one_under_the_other_never_over_each_other() -> None:
    events = (CUP, EventBox(date(2027, 3, 24), date(2027, 3, 30), "Skarvholm trip"),
              EventBox(date(2027, 6, 1), date(2027, 6, 2), "Tessary Open"))  # fmt: skip
    days = Days(date(2027, 2, 1), date(2027, 7, 31), 6.2)
    drawn = draw_head(days, TODAY, "season", (), events)
    said = re.findall(r'<text[^>]* x="([\d.]+)" y="([\d.]+)"[^>]*>([^<]+)<', drawn)
    rows = {name: (float(x), float(y)) for x, y, name in said}
    assert set(rows) == {event.name for event in events}
    assert rows["Skarvholm trip"][1] > rows["Lindmark Cup"][1] == rows["Tessary Open"][1]
    assert draw_head(Days(days.first, days.last, 1.75), TODAY, "season", (), events).count("<text") == 0


def test_own_cases_are_dots_on_the_days_they_would_end_grey_and_hollow_under_three() -> None:
    noticed = TODAY - timedelta(days=2)
    cases = tuple((noticed + timedelta(days=n), str(n)) for n in (6, 9, 40))
    known = draw_lanes(lanes(Lane("split", "site", cases=cases, more="own cases: 6, 9 and 40 days")), LANES_DESK)
    days = LANES_DESK.days(FIRST, LAST)
    dots = [float(x) for x in re.findall(r'class="case-dot" cx="([\d.]+)"', known)]
    assert dots == pytest.approx([days.middle(noticed + timedelta(days=n)) for n in (6, 9)], abs=0.06)
    assert "own cases: 6, 9 and 40 days" in known and "case-few" not in known
    few = draw_lanes(lanes(Lane("split", "site", cases=cases[:1], few=True)), LANES_PHONE)
    assert few.count("case-few") == 1 and "case-dot" not in few

"""Rows of days, range bars and the course: every mark must stand in the column of its date."""

import re
from datetime import date, timedelta
from xml.etree import ElementTree

import pytest

from coaching.drawing.course import ChanceDay, CourseData, FanDay, Lane, chance_y, draw_course
from coaching.drawing.range_bar import RangeBar, draw_change, draw_range
from coaching.drawing.strip import DESK, DESK_QUIET, PHONE, AxisData, StripData, draw_axis, draw_strip
from coaching.drawing.timeline import CareRun, DamageRun, Days, EventBox, LoadDay

SVG = "{http://www.w3.org/2000/svg}"
TODAY = date(2027, 3, 11)


def day(offset):
    return TODAY + timedelta(days=offset)


def read(svg):
    return ElementTree.fromstring(svg)  # noqa: S314 - our own drawing


def parts(svg, css, element="rect"):
    return [p for p in read(svg).iter(f"{SVG}{element}") if css in p.get("class", "").split()]


def strip(size=DESK, **fields):
    return draw_strip(StripData(TODAY, "row", **fields), size)


def test_a_row_is_35_days_of_16_px_and_a_phone_row_of_10_2_px():
    assert read(strip()).get("viewBox") == "0 0 560 48"
    assert read(strip(DESK_QUIET)).get("height") == "28"
    assert read(strip(PHONE)).get("viewBox") == "0 0 357 44"


def test_seven_days_lie_behind_today_and_its_rule_stands_at_its_left_edge():
    rule = parts(strip(), "today-rule", "line")[0]
    assert (rule.get("x1"), rule.get("y1"), rule.get("y2")) == ("112", "0", "48")


@pytest.mark.parametrize(("offset", "done"), [(-7, True), (0, False), (27, False)])
def test_a_load_bar_lies_inside_the_column_of_its_day(offset, done):
    path = parts(strip(loads=(LoadDay(day(offset), 1.0, 6, done),)), "load", "path")[0]
    xs = [float(x) for x in re.findall(r"[ML]([\d.]+) ", path.get("d"))]
    assert (offset + 7) * 16 <= min(xs) < max(xs) <= (offset + 8) * 16


def test_the_tallest_load_is_17_px_over_a_base_at_22():
    path = parts(strip(loads=(LoadDay(day(-1), 1.0, 6, True),)), "load-done", "path")[0]
    ys = [float(y) for y in re.findall(r" ([\d.]+)", path.get("d"))]
    assert (min(ys), max(ys)) == (5.0, 22.0)


def test_done_load_carries_its_step_and_planned_load_is_hollow():
    svg = strip(loads=(LoadDay(day(-1), 0.5, 4, True), LoadDay(day(1), 0.5, 4, False)))
    assert parts(svg, "load-done", "path")[0].get("class") == "load load-done q4"
    assert parts(svg, "load-planned", "path")[0].get("class") == "load load-planned"


def test_days_outside_the_window_are_left_out():
    svg = strip(loads=(LoadDay(day(-8), 1, 1, True), LoadDay(day(28), 1, 1, False)), wedge=day(40))
    assert not parts(svg, "load", "path") and not parts(svg, "wedge", "path")


def test_an_event_box_spans_its_days():
    box = parts(strip(events=(EventBox(day(15), day(20)),)), "event-box")[0]
    assert float(box.get("x")) == (7 + 15) * 16
    assert float(box.get("width")) == 6 * 16


def test_an_event_that_began_before_the_window_is_cut_at_its_edge():
    box = parts(strip(events=(EventBox(day(-20), day(-6)),)), "event-box")[0]
    assert (box.get("x"), box.get("width")) == ("0", "32")


def test_the_wedge_points_at_the_middle_of_its_day():
    path = parts(strip(wedge=day(4)), "wedge", "path")[0].get("d")
    xs = [float(x) for x in re.findall(r"[ML]([\d.]+) ", path)]
    assert (min(xs) + max(xs)) / 2 == (7 + 4) * 16 + 8


def test_weekends_are_saturdays_and_sundays():
    # Calendar fact: 13 March 2027 is a Saturday, two days after the Thursday of this row.
    lefts = [float(x) for x in re.findall(r"M([\d.]+) ", parts(strip(), "wash", "path")[0].get("d"))]
    assert len(lefts) == 10
    assert {(7 + 2) * 16.0, (7 + 3) * 16.0} <= set(lefts)


def test_a_care_letter_starts_its_run_and_the_rule_ends_on_the_last_day():
    svg = strip(care=(CareRun("m", day(-2), day(3)),))
    letter = parts(svg, "care-letter", "text")[0]
    assert (letter.text, letter.get("x"), letter.get("y")) == ("m", "88", "34")
    ends = [float(rule.get("x2")) for rule in parts(svg, "care-rule", "line")]
    assert max(ends) == (7 + 3 + 1) * 16 - 1


def test_stages_of_damage_look_different_and_closing_is_lower_than_open():
    runs = tuple(DamageRun(s, day(i), day(i)) for i, s in enumerate(("open", "closing", "rimmed", "thinned")))
    svg = strip(damage=runs)
    heights = {
        css: float(parts(svg, f"damage-{css}")[0].get("height")) for css in ("open", "closing", "rimmed")
    }
    assert heights["closing"] < heights["open"]
    assert len(parts(svg, "damage-grid", "path")) == 1
    assert len(parts(svg, "damage-thinned", "line")) == 1


def test_silent_days_carry_slanted_lines_and_the_grid_of_closing_none():
    svg = strip(silent=(day(-1),), damage=(DamageRun("closing", day(0), day(2)),))
    assert _slanted(parts(svg, "no-answers", "path")[0].get("d"))
    assert not _slanted(parts(svg, "damage-grid", "path")[0].get("d"))


def _slanted(path):
    strokes = re.findall(r"M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)", path)
    assert strokes
    return all(ax != bx and ay != by for ax, ay, bx, by in strokes)


def test_the_summary_is_read_aloud_and_markup_is_escaped():
    bad = "Ada <script>x</script>"
    svg = draw_strip(
        StripData(TODAY, bad, care=(CareRun("<b>", day(0), day(0)),), events=(EventBox(day(1), day(1), bad),))
    )
    assert "<script" not in svg and "<b>" not in svg
    assert read(svg).find(f"{SVG}title").text == bad


def test_the_axis_numbers_every_day_on_a_desk_and_mondays_on_a_phone():
    axis = AxisData(TODAY, "days", ((day(-7), "March"),), (EventBox(day(9), day(9), "Cup"),))
    wide, narrow = (parts(draw_axis(axis, size), "axis-day", "text") for size in (DESK, PHONE))
    assert len(wide) == 35
    assert [t.text for t in narrow] == ["8", "11", "15", "22", "29", "5"]
    assert parts(draw_axis(axis), "axis-today", "text")[0].text == "11"


def test_axis_and_rows_put_an_event_in_the_same_columns():
    event = (EventBox(day(15), day(20), "Trip"),)
    above = parts(draw_axis(AxisData(TODAY, "days", (), event)), "event-box")[0]
    below = parts(strip(events=event), "event-box")[0]
    assert (above.get("x"), above.get("width")) == (below.get("x"), below.get("width"))


def test_range_bar_places_value_and_bar_on_one_scale():
    svg = draw_range(RangeBar(0.3, 0.6, "46 in 100", 0.46, 0.8))
    span, value = parts(svg, "range-span")[0], parts(svg, "range-value", "line")[0]
    left, width = float(span.get("x")), float(span.get("width"))
    assert (
        left
        < float(value.get("x1"))
        < left + width
        < float(parts(svg, "range-bar-line", "line")[0].get("x1"))
    )


def test_an_unknown_value_is_dashes_without_a_tick():
    svg = draw_range(RangeBar(0.4, 0.9, "not known"))
    assert parts(svg, "range-unknown", "line") and not parts(svg, "range-value", "line")


@pytest.mark.parametrize(
    "chances", [(0.6, 0.3, None), (-0.1, 0.5, None), (0.1, 0.5, 1.2), (float("nan"), 0.5, None)]
)
def test_a_range_that_is_none_is_refused(chances):
    low, high, value = chances
    with pytest.raises(ValueError, match="chance|above"):
        RangeBar(low, high, "x", value)


def test_a_change_is_as_wide_as_it_is_large_either_way():
    widths = [
        float(parts(draw_change(a, b, "x"), "change-piece")[0].get("width"))
        for a, b in ((0.9, 0.5), (0.5, 0.9), (0.9, 0.7))
    ]
    assert widths[0] == widths[1] == pytest.approx(2 * widths[2], abs=0.02)


FAN = (FanDay(TODAY, 0.05, 0.08, 0.1, 0.13, 0.18), FanDay(day(9), 0.3, 0.4, 0.46, 0.52, 0.62))


def course(**fields):
    window = Days(day(-7), day(13), 40.0)
    names = tuple(f"{d.day}" for d in window.all())
    return draw_course(CourseData(day(-7), day(13), TODAY, "course", "Chance", "bar", names, **fields))


def test_only_answered_days_are_points_and_a_silent_day_breaks_the_line():
    svg = course(past=(ChanceDay(day(-4), 0.9), ChanceDay(day(-3), 0.8), ChanceDay(day(-1), 0.7)))
    assert len(parts(svg, "course-point", "circle")) == 3
    assert len(parts(svg, "course-gap", "line")) == 1


def test_the_fan_starts_today_as_wide_as_todays_uncertainty():
    path = parts(course(fan=FAN), "fan-80", "path")[0].get("d")
    corners = [(float(x), float(y)) for x, y in re.findall(r"[ML]([\d.]+) ([\d.]+)", path)]
    today_x = 176 + 7 * 40 + 20
    heights = [y for x, y in corners if x == today_x]
    assert max(heights) - min(heights) == pytest.approx(chance_y(0.05) - chance_y(0.18), abs=0.02)


def test_the_inner_band_lies_inside_the_outer():
    svg = course(fan=FAN)
    ys = {
        css: [float(y) for y in re.findall(r" ([\d.]+)", parts(svg, css, "path")[0].get("d"))]
        for css in ("fan-50", "fan-80")
    }
    assert min(ys["fan-80"]) < min(ys["fan-50"]) and max(ys["fan-50"]) < max(ys["fan-80"])


def test_a_higher_chance_lies_higher_and_the_bar_at_its_chance():
    assert chance_y(0.9) < chance_y(0.5) < chance_y(0.1)
    assert float(parts(course(bar_frac=0.8), "course-bar", "line")[0].get("y1")) == pytest.approx(
        chance_y(0.8), abs=0.005
    )  # two decimals


def test_lanes_share_the_axis_and_care_is_filled_up_to_today():
    svg = course(
        events=(EventBox(day(9), day(9), "Cup"),),
        lanes=(Lane("mend", care=(CareRun("m", day(-4), day(6)),)),),
    )
    done, ahead = parts(svg, "care-done")[0], parts(svg, "care-ahead")[0]
    assert float(done.get("x")) + float(done.get("width")) == float(ahead.get("x")) == 176 + 7 * 40
    assert float(parts(svg, "event-box")[0].get("x")) == 176 + 16 * 40


def test_a_fan_before_today_or_missing_names_of_days_are_refused():
    with pytest.raises(ValueError, match="before today"):
        course(fan=(FanDay(day(-1), 0, 0, 0, 0, 0),))
    with pytest.raises(ValueError, match="names of days"):
        draw_course(CourseData(TODAY, day(3), TODAY, "c", "c", "b", ("one",)))

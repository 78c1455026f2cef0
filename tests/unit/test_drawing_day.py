"""The strip of a day and the two airs as pictures: parts, order, bounds, and nothing where nothing is known."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from coaching.drawing.airs import AirHour, Panel, draw_airs
from coaching.drawing.hours import draw_hours
from coaching.drawing.hours_data import DESK, PHONE, HourMark, HoursData, HoursSize, WindowMark

LANES = {name: (name, "a note that is rather long for one line") for name in ("windows", "sun", "air", "dry", "wind")}
HOUR = HourMark("05", False, 0.5, 12.0, 1.5, 4.0, 0.3, "45", False, 90.0, "4", "off the sea", "")


def day(**changes: object) -> HoursData:
    hours = [replace(HOUR, name=f"{h:02d}", night=h < 7, sea="off the sea" if h > 12 else "") for h in range(5, 22)]
    whole = HoursData("Title & <b>", hours, (WindowMark(4, 8, "best", True), WindowMark(9, 12, "2", False)), LANES)
    return replace(whole, **changes)  # type: ignore[arg-type]


def numbers(svg: str) -> list[float]:
    found = re.findall(r'(?:x|y|x1|x2|y1|y2|width|height)="(-?[\d.]+)"', svg)
    return [float(one) for one in found]


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["wide", "narrow"])
def test_every_lane_is_drawn_within_the_picture(size: HoursSize) -> None:
    svg = draw_hours(day(), size)
    root = ET.fromstring(svg)  # noqa: S314 - our own text
    assert root.get("aria-label") == "Title & <b>" and "<b>" not in svg.replace("&lt;b&gt;", "")
    assert all(-1 <= one <= max(size.width, 500) + 1 for one in numbers(svg))
    for css, count in (("hours-sun", 17), ("hours-dry", 17), ("hours-best", 1), ("hours-temp", 1), ("hours-dew", 1)):
        assert len(re.findall(rf'class="[^"]*\b{css}\b', svg)) == count, css


def test_hours_stand_at_the_same_place_in_every_lane() -> None:
    root = ET.fromstring(draw_hours(day(), DESK))  # noqa: S314
    boxes = list(root.iter("{http://www.w3.org/2000/svg}rect"))
    sun, dry = (
        [float(box.get("x", "0")) + float(box.get("width", "0")) / 2 for box in boxes if box.get("class") == css]
        for css in ("hours-sun", "hours-dry")
    )
    assert sun == pytest.approx(dry, abs=0.02)  # two decimals are written


def test_a_lane_that_is_not_named_and_an_hour_not_known_draw_nothing() -> None:
    bare = HourMark("05")
    svg = draw_hours(day(hours=[bare] * 17, windows=(), lanes={"air": ("Air", "")}), DESK)
    assert not re.search("hours-(sun|dry|temp|dew|arrow|window)", svg)


def test_air_with_a_hole_is_two_courses() -> None:
    hours = list(day().hours)
    hours[8] = replace(hours[8], temp=None, dew=None)
    assert len(re.findall('class="hours-temp"', draw_hours(day(hours=hours), DESK))) == 2


def test_what_does_not_dry_is_no_bar() -> None:
    hours = [replace(HOUR, never=True, dry_frac=None, dry_words="no")] * 17
    svg = draw_hours(day(hours=hours), DESK)
    assert "hours-never" in svg and 'class="hours-dry"' not in svg and ">no<" in svg


@pytest.mark.parametrize(("toward", "right", "down"), [(0, 0, -1), (90, 1, 0), (180, 0, 1), (270, -1, 0)])
def test_an_arrow_points_where_the_wind_goes(toward: float, right: int, down: int) -> None:
    svg = draw_hours(day(hours=[replace(HOUR, toward_deg=toward)]), DESK)
    x1, y1, x2, y2 = (
        float(n)
        for n in re.search(r'hours-arrow" x1="([-\d.]+)" y1="([-\d.]+)" x2="([-\d.]+)" y2="([-\d.]+)"', svg).groups()
    )  # type: ignore[union-attr]  # noqa: E501
    assert (round((x2 - x1) / 22), round((y2 - y1) / 22)) == (right, down)


def test_both_airs_share_their_scale_and_an_unknown_one_says_so() -> None:
    hours = tuple(AirHour(h, 20.0, 10.0, 8.0, 12.0) for h in range(8, 21))
    both = draw_airs((Panel("Home", hours), Panel("There", hours)), "Two", ("air", "dew point"))
    lines = re.findall(r'class="hours-temp" d="M[\d.]+ ([\d.]+)', both)
    assert len(lines) == 2 and lines[0] == lines[1]
    named = re.findall(r'class="axis-day" x="([\d.]+)" y="[\d.]+" text-anchor="(\w+)"', both)
    edge = (640.0 - 34.0 - 14.0) / 2 + 34.0  # right edge of the first of two panels on 640 px
    assert {side: float(x) <= edge for x, side in named[:4]} == dict.fromkeys(("start", "middle", "end"), True)
    assert named[7][1] == "end" and float(named[7][0]) <= 640.0  # the last hour ends within the picture
    alone = draw_airs((Panel("Home", hours), Panel("There", (), "not known")), "Two", ("air", "dew point"))
    assert "not known" in alone and alone.count("hours-temp") == 1
    assert "not known" in draw_airs((Panel("a", (), "not known"), Panel("b", ())), "Two", ("air", "dew point"))

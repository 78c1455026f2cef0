"""The drawing of both hands: what is read aloud, what is linked, what is escaped."""

import re
from xml.etree import ElementTree

import pytest

from coaching.drawing.cuts import STAGES, draw_stage
from coaching.drawing.digit_view import boxes, draw_digit
from coaching.drawing.hands import SiteMark, draw_hands, draw_one_hand
from coaching.drawing.leaders import tops
from coaching.drawing.patterns import pattern_defs
from coaching.drawing.svg import number, tag
from coaching.drawing.zones import DIGITS, HANDS, all_sites, zones_of

SVG = "{http://www.w3.org/2000/svg}"
NAMES = {site.code: f"name of {site.code}" for site in all_sites()}
NAMES |= {f"{hand}-{digit}": f"name of {hand}-{digit}" for hand in HANDS for digit in DIGITS}
NAMES |= {"title": "Both hands", "left": "left", "right": "right"}
SPLIT = SiteMark("open", "right middle, tip crease: split, open", "right middle", "split, open", kind="split")


def read(svg):
    return ElementTree.fromstring(svg)  # noqa: S314 - our own drawing


def translations(svg):
    found = [part.get("transform") for part in read(svg).iter(f"{SVG}g") if part.get("class") == "hand"]
    return [float(re.match(r"translate\(([\d.]+) 0\)", text)[1]) for text in found]


def test_every_zone_is_a_link_with_a_name():
    links = read(draw_hands({}, labels=NAMES, link_prefix="#site-")).findall(f".//{SVG}a")
    assert {link.get("href") for link in links} == {f"#site-{site.code}" for site in all_sites()}
    assert all(link.get("aria-label") == NAMES[link.get("href")[6:]] for link in links)


def test_a_mark_is_read_aloud_as_its_whole_phrase():
    root = read(draw_hands({"R-middle-tip-crease": SPLIT}, labels=NAMES, link_prefix="#site-"))
    link = root.find(f".//{SVG}a[@href='#site-R-middle-tip-crease']")
    assert link.get("aria-label") == "right middle, tip crease: split, open"


def test_without_links_only_marks_are_named_and_there_is_no_link():
    root = read(draw_hands({"R-middle-tip-crease": SPLIT}, labels=NAMES))
    assert root.find(f".//{SVG}a") is None
    assert [g.get("aria-label") for g in root.iter(f"{SVG}g") if g.get("role") == "img"] == [SPLIT.spoken]


def test_in_the_small_drawing_one_tap_opens_a_digit():
    links = read(draw_hands({}, labels=NAMES, link_prefix="#panel-", compact=True)).findall(f".//{SVG}a")
    targets = {link.get("href") for link in links}
    assert {f"#panel-{hand}-{digit}" for hand in HANDS for digit in DIGITS} < targets
    assert len(targets) == 2 * (5 + 3)


def test_a_mark_on_a_crease_does_not_name_the_pad_beside_it():
    root = read(draw_hands({"R-middle-tip-crease": SPLIT}, labels=NAMES, link_prefix="#site-"))
    assert root.find(f".//{SVG}a[@href='#site-R-middle-tip']").get("aria-label") == NAMES["R-middle-tip"]


def test_turning_swaps_the_hands_and_nothing_else():
    plain, turned = draw_hands({}, labels=NAMES), draw_hands({}, labels=NAMES, turned=True)
    assert translations(plain) == translations(turned) == sorted(translations(plain))
    assert [t.text for t in read(plain).iter(f"{SVG}text")] == ["left", "right"]
    assert [t.text for t in read(turned).iter(f"{SVG}text")] == ["right", "left"]


def test_markup_in_names_and_phrases_is_escaped():
    bad = "<script>alert(1)</script>\"'&"
    mark = SiteMark("pink", bad, bad, bad, (bad,), shown=bad)
    svg = draw_hands({"L-index-tip": mark}, labels=NAMES | {"title": bad}, link_prefix="#site-")
    assert "<script" not in svg
    assert read(svg).get("aria-label") == bad


def test_no_picture_carries_style_or_handlers():
    marks = {"L-index-tip": SiteMark("pink", "pink"), "R-middle-tip-crease": SPLIT}
    for svg in (
        draw_hands(marks, labels=NAMES),
        draw_one_hand("R", marks, labels=NAMES),
        draw_stage("open", "open"),
    ):
        for part in read(svg).iter():
            assert part.tag != f"{SVG}style"
            assert not [name for name in part.attrib if name == "style" or name.startswith("on")]


@pytest.mark.parametrize("name", ["style", "onclick", "onload"])
def test_an_attribute_that_the_pages_forbid_is_refused(name):
    with pytest.raises(ValueError, match="not allowed"):
        tag("path", {name: "x"})


def test_each_pattern_in_use_is_defined_once_in_the_drawing():
    marks = {
        "L-index-tip": SiteMark("pink", "a"),
        "L-ring-tip": SiteMark("pink", "b"),
        "R-ring-tip": SiteMark("glassy", "c"),
    }
    svg = draw_hands(marks, labels=NAMES, key="one")
    assert sorted(re.findall(r'<pattern id="([^"]+)"', svg)) == ["one-glassy", "one-pink"]
    assert set(re.findall(r"url\(#([^)]+)\)", svg)) == {"one-glassy", "one-pink"}


def test_upright_lines_slanted_dashes_and_grid_are_three_different_patterns():
    paths = {
        state: re.search(r' d="([^"]+)"', pattern_defs(frozenset({state}), "k"))[1]
        for state in ("glassy", "shedding", "closing")
    }
    assert len(set(paths.values())) == 3


def test_a_sound_site_stays_paper():
    svg = draw_hands({"L-index-tip": SiteMark("sound", "sound")}, labels=NAMES)
    assert 'class="mark' not in svg and not re.search(r"zone-tip q\d", svg)


def test_an_unknown_state_or_place_is_refused():
    with pytest.raises(ValueError, match="torn"):
        SiteMark("torn", "x")
    with pytest.raises(ValueError, match="L-toe-tip"):
        draw_hands({"L-toe-tip": SPLIT}, labels=NAMES)


def _depth(state):
    mark = SiteMark(state, "x", kind="split")
    svg = draw_hands({"R-middle-tip-crease": mark}, labels=NAMES)
    ys = [
        float(y)
        for y in re.findall(r"[ -]?[\d.]+ ([\d.]+)", re.search(rf'mark-{state}" d="([^"]+)"', svg)[1])
    ]
    return max(ys) - min(ys)


def test_a_closing_split_is_drawn_shallower_than_an_open_one():
    assert _depth("closing") < 0.8 * _depth("open")


def test_a_small_hand_rings_only_its_own_marks():
    marks = {"R-middle-tip-crease": SPLIT, "L-index-tip": SiteMark("pink", "pink")}
    assert draw_one_hand("R", marks, labels=NAMES).count("hand-ring") == 1


def test_notes_in_one_column_never_cover_each_other():
    wanted, heights = [40.0, 42.0, 43.0, 200.0], [64.0, 32.0, 80.0, 32.0]
    placed = tops(wanted, heights)
    for i in range(3):
        assert placed[i] + heights[i] < placed[i + 1]


@pytest.mark.parametrize("digit", DIGITS)
def test_every_zone_of_the_large_digit_is_44_px_each_way(digit):
    # WCAG 2.2, criterion 2.5.5 (target size, enhanced): 44 by 44 CSS px.
    places = boxes(digit)
    assert set(places) == set(zones_of(digit))
    assert all(width >= 44 and height >= 44 for _, _, width, height in places.values())


def test_the_large_digit_links_every_zone_and_turns_its_sides_with_the_hand():
    left, right = (read(draw_digit(h, "ring", {}, labels=NAMES, link_prefix="#s-")) for h in HANDS)
    assert len(left.findall(f".//{SVG}a")) == len(zones_of("ring"))
    start = {"L": _left_edge(left, "#s-L-ring-thumb-side"), "R": _left_edge(right, "#s-R-ring-thumb-side")}
    assert start["L"] < 44 < start["R"]


def _left_edge(root, href):
    path = root.find(f".//{SVG}a[@href='{href}']/{SVG}path").get("d")
    return float(re.match(r"M([\d.]+)", path)[1])


def test_every_stage_has_its_own_profile():
    drawn = {
        re.sub(r'aria-label="[^"]*"|<title>.*?</title>', "", draw_stage(stage, stage)) for stage in STAGES
    }
    assert len(drawn) == 5
    with pytest.raises(ValueError, match="healed"):
        draw_stage("healed", "x")


def test_numbers_are_short_and_never_minus_zero():
    assert [number(v) for v in (1.0, 0.10, -0.001, 2.346, 40.0)] == ["1", "0.1", "0", "2.35", "40"]

"""Zones and the shape of a hand: the set of places, and facts of anatomy that a wrong drawing breaks."""

from math import dist

import pytest

from coaching.drawing.outline import (
    HEIGHT_PX,
    LEFT,
    WIDTH_PX,
    centre_of,
    left_outline,
    middle_of,
    on_hand,
    shapes_of,
)
from coaching.drawing.zones import DIGITS, HANDS, all_sites, along, parse_site, sites_of_hand, zones_of

# The glossary of the project names ten zones of a finger; the thumb has two pads and two creases.
FINGER_ZONES = {
    "tip", "middle", "base", "tip-crease", "middle-crease", "base-crease",
    "thumb-side", "little-side", "back", "nail-rim",
}  # fmt: skip


def test_every_finger_has_the_ten_zones_of_the_glossary():
    for digit in DIGITS[1:]:
        assert set(zones_of(digit)) == FINGER_ZONES
        assert len(zones_of(digit)) == 10


def test_the_thumb_has_two_pads_and_two_creases():
    # Anatomy: a thumb has two phalanges and one joint between them, a finger three and two.
    assert set(zones_of("thumb")) == FINGER_ZONES - {"middle", "middle-crease"}


def test_both_hands_together_hold_102_different_sites():
    codes = [site.code for site in all_sites()]
    assert len(codes) == len(set(codes)) == 2 * (4 * 10 + 8 + 3)


@pytest.mark.parametrize(
    "code", ["L-index-tip", "R-ring-middle-crease", "R-thumb-little-side", "L-palm-callus"]
)
def test_the_codes_given_as_examples_are_read_and_written_alike(code):
    assert parse_site(code).code == code


def test_every_code_is_read_back_as_its_site():
    for site in all_sites():
        assert parse_site(site.code) == site


@pytest.mark.parametrize(
    "code",
    ["R-thumb-middle", "L-thumb-middle-crease", "X-index-tip", "L-toe-tip", "L-web-tip", "", "l-index-tip"],
)
def test_a_place_that_does_not_exist_is_refused_by_name(code):
    with pytest.raises(ValueError, match="does not exist"):
        parse_site(code)


def test_the_right_hand_is_the_left_one_mirrored():
    for site in sites_of_hand("L"):
        twin = parse_site("R" + site.code[1:])
        for left, right in zip(shapes_of(site), shapes_of(twin), strict=True):
            assert [WIDTH_PX - x for x, _ in left] == pytest.approx([x for x, _ in right])
            assert [y for _, y in left] == [y for _, y in right]


def test_thumbs_point_outwards_and_little_fingers_inwards():
    # Two palms seen by their owner: the left thumb is the leftmost digit, the right thumb the rightmost.
    lefts = [centre_of(f"L-{digit}-tip")[0] for digit in DIGITS]
    rights = [centre_of(f"R-{digit}-tip")[0] for digit in DIGITS]
    assert lefts == sorted(lefts)
    assert rights == sorted(rights, reverse=True)


def test_the_middle_finger_reaches_furthest_and_the_thumb_least():
    tops = {digit: min(y for _, y in shapes_of(parse_site(f"L-{digit}-tip"))[0]) for digit in DIGITS}
    assert min(tops, key=tops.__getitem__) == "middle"
    assert max(tops, key=tops.__getitem__) == "thumb"
    assert tops["little"] > max(tops["index"], tops["ring"])


@pytest.mark.parametrize("hand", HANDS)
def test_every_zone_lies_inside_the_box_of_its_hand(hand):
    outline = on_hand(left_outline(), hand)
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    assert 0 <= min(xs) and max(xs) <= WIDTH_PX and 0 <= min(ys) and max(ys) <= HEIGHT_PX
    for site in sites_of_hand(hand):
        for x, y in (corner for shape in shapes_of(site) for corner in shape):
            assert min(xs) <= x <= max(xs) and min(ys) <= y <= max(ys), site.code


def test_every_pad_and_crease_lies_inside_the_outline_itself():
    outline = left_outline()
    for site in sites_of_hand("L"):
        if site.zone not in ("back", "nail-rim", "thumb-side", "little-side"):
            for shape in shapes_of(site):
                assert _inside(middle_of(shape), outline), site.code


def _inside(point, polygon):
    """Even-odd rule over the outline, closed at the wrist."""
    x, y = point
    crossings = 0
    for (ax, ay), (bx, by) in zip(polygon, polygon[1:] + polygon[:1], strict=True):
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
            crossings += 1
    return crossings % 2 == 1


@pytest.mark.parametrize("digit", DIGITS)
def test_zones_along_a_digit_come_nearer_to_the_palm_one_by_one(digit):
    base = LEFT[digit].base
    away = [dist(centre_of(f"L-{digit}-{zone}"), base) for zone in along(digit)]
    assert away == sorted(away, reverse=True)
    assert len(set(away)) == len(away)


@pytest.mark.parametrize("digit", DIGITS)
def test_the_thumb_side_faces_the_thumb(digit):
    thumb_side, little_side = centre_of(f"L-{digit}-thumb-side"), centre_of(f"L-{digit}-little-side")
    assert thumb_side[0] < little_side[0]


def test_pads_and_creases_of_one_digit_do_not_overlap():
    for digit in DIGITS[1:]:
        spans = [_span(digit, zone) for zone in along(digit)[1:]]
        for (_, nearer), (further, _) in zip(spans[1:], spans, strict=False):
            assert nearer <= further + 1e-9, digit


def _span(digit, zone):
    """Reach of a zone along its digit, from and to, in px from the base crease."""
    low, high = LEFT[digit].place(0, 0), LEFT[digit].place(0, 1)
    way = (high[0] - low[0], high[1] - low[1])
    along_it = [
        (x - low[0]) * way[0] + (y - low[1]) * way[1]
        for x, y in shapes_of(parse_site(f"L-{digit}-{zone}"))[0]
    ]
    return min(along_it), max(along_it)

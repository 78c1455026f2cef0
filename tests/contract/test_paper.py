"""Contrast of the tokens of the stylesheet, by the formula of WCAG 2.2 (criteria 1.4.3 and 1.4.11)."""

import re
from pathlib import Path

import pytest

SHEET = Path(__file__).parents[2] / "coaching" / "config" / "static" / "tenpads" / "paper.css"


def _tokens():
    """Return the colour tokens for light, dark and print, as the sheet sets them one over the other."""
    blocks = re.findall(r":root \{(.*?)\}", SHEET.read_text(), re.DOTALL)[:3]
    found = [dict(re.findall(r"--([a-z0-9-]+): (#[0-9a-f]{3,6})", block)) for block in blocks]
    return dict(zip(("light", "dark", "print"), found, strict=True))


THEMES = _tokens()


def _luminance(colour):
    """WCAG 2.2: relative luminance of an sRGB colour."""
    digits = colour[1:] if len(colour) == 7 else "".join(2 * c for c in colour[1:])
    channels = [int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, other):
    high, low = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_formula_gives_the_standards_own_extremes():
    assert contrast("#ffffff", "#000000") == pytest.approx(21.0)  # WCAG 2.2: ratios range from 1 to 21
    assert contrast("#777777", "#777777") == 1.0


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("ground", ["paper", "wash"])
@pytest.mark.parametrize("text", ["ink", "ink-2"])
def test_text_has_at_least_4_5_to_1(theme, ground, text):
    assert contrast(THEMES[theme][text], THEMES[theme][ground]) >= 4.5


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("part", ["rule-2", "q3", "q4", "q5", "q6"])
def test_edges_and_quantities_that_stand_alone_have_at_least_3_to_1(theme, part):
    assert contrast(THEMES[theme][part], THEMES[theme]["paper"]) >= 3.0


@pytest.mark.parametrize("theme", THEMES)
def test_more_is_always_further_from_the_paper(theme):
    away = [contrast(THEMES[theme][f"q{i}"], THEMES[theme]["paper"]) for i in range(1, 7)]
    assert away == sorted(away)


def test_no_other_colour_stands_in_any_sheet():
    for name in ("pages.css", "forms.css", "figures.css"):
        assert not re.search(r"#[0-9a-f]{3,8}\b(?!-)|rgba?\(|hsl", (SHEET.parent / name).read_text()), name

"""Chances, ratings and loads in words, rounded to what is known of them."""

from __future__ import annotations

from django.utils.formats import get_format, number_format
from django.utils.translation import gettext, ngettext

NARROW_FRAC, WIDE_FRAC = 0.10, 0.40


def rounding(low: float, high: float) -> int:
    """How finely a chance in 100 may be said: to 1 where its range is narrow, else 5 or 10 (judgement)."""
    width = high - low
    if width <= NARROW_FRAC:
        return 1
    return 5 if width <= WIDE_FRAC else 10


def in_100(frac: float, step: int) -> str:
    """A chance in 100 by steps; "under 5" and "over 95" at the ends, because no forecast is certain."""
    value = round(frac * 100 / step) * step
    if value < step:
        return gettext("under %(n)d") % {"n": step}
    if value > 100 - step:
        return gettext("over %(n)d") % {"n": 100 - step}
    return str(value)


def chance(p: float | None, low: float, high: float) -> str:
    """ "skin holds: 70 in 100", or "skin holds: not known"."""
    if p is None:
        return gettext("skin holds: not known")
    return gettext("skin holds: %(n)s in 100") % {"n": in_100(p, rounding(low, high))}


def short_chance(p: float | None, low: float, high: float) -> str:
    """The number alone, where a head says what it is."""
    return gettext("not known") if p is None else in_100(p, rounding(low, high))


def figure(frac: float, step: int) -> str:
    """`in_100` in figures alone, for a narrow column: "70", "<5", ">95"."""
    value = round(frac * 100 / step) * step
    if value < step:
        return f"<{step}"
    return f">{100 - step}" if value > 100 - step else str(value)


def figures(low: float, high: float) -> str:
    """ "55–80", for a narrow column."""
    step = rounding(low, high)
    return f"{figure(low, step)}–{figure(high, step)}"


def chance_range(low: float, high: float) -> str:
    """ "55 to 80", in 100, by the same steps."""
    step = rounding(low, high)
    return gettext("%(low)s to %(high)s") % {"low": in_100(low, step), "high": in_100(high, step)}


def bar(bar_frac: float, provisional: bool) -> str:
    """ "bar 60" or "bar 50, provisional"."""
    words = gettext("bar %(n)d, provisional") if provisional else gettext("bar %(n)d")
    return words % {"n": round(bar_frac * 100)}


def good_days(good: tuple[int, float, float, float]) -> str:
    """ "about 6 good days of 9 (4 to 8)"."""
    of, middle, low, high = good
    return gettext("about %(middle)d good days of %(of)d (%(low)d to %(high)d)") % {
        "middle": round(middle), "of": of, "low": round(low), "high": round(high),
    }  # fmt: skip


def change(frac: float) -> str:
    """ "+4" or "−38", points in 100."""
    points = round(frac * 100)
    if points == 0:
        return "0"
    return f"+{points}" if points > 0 else f"−{-points}"


def rating(value_pt: float | None) -> str:
    """ "6 of 10", or "not known"."""
    if value_pt is None:
        return gettext("not known")
    return gettext("%(n)s of 10") % {"n": number_format(round(value_pt), 0)}


def load(value_slu: float | None) -> str:
    """Skin load with one decimal, or "not known"."""
    return gettext("not known") if value_slu is None else number_format(round(value_slu, 1), 1)


def week_load(value_slu: float | None, unknown_days: int) -> str:
    """The 7-day sum; days not known are said, because they make it a least value."""
    if value_slu is None or unknown_days >= 7:
        return gettext("not known")
    if unknown_days:
        words = ngettext(
            "at least %(load)s, %(n)d day not known", "at least %(load)s, %(n)d days not known", unknown_days
        )
        return words % {"load": load(value_slu), "n": unknown_days}
    return load(value_slu)


def in_figures(value: float) -> str:
    """A number with as many decimals as it needs, "7" or "2.5", with the separator of the language."""
    return f"{value:g}".replace(".", str(get_format("DECIMAL_SEPARATOR")))


def monotony(value: float | None) -> str:
    """Mean over standard deviation of the days; undefined where they do not differ or are not known."""
    if value is None:
        return gettext("undefined: the days do not differ, or too few are known")
    return number_format(round(value, 1), 1)


def percentile(frac: float | None) -> str:
    """Where this week's load stands among the athlete's own weeks."""
    if frac is None:
        return gettext("not known: too few weeks of one's own")
    return gettext("more than %(n)d of 100 of one's own weeks") % {"n": round(frac * 100)}

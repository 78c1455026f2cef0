"""A day at a place as a figure that a script draws. Colours are names of the page's own custom properties."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.utils.translation import gettext

from coaching.usecases.shown_air import DayAtPlace, HourShown
from coaching.wording import air_day, air_units
from coaching.wording.dates import clock_time
from coaching.wording.day_marks import annotations, has_sun, middle, shapes
from coaching.wording.day_strip import height_frac, warned

LANES: dict[str, tuple[float, float]] = {"y": (0.4, 0.77), "y2": (0.81, 0.9), "y3": (0.2, 0.36)}
"""Heights of the lanes: air, sun on the face, between tries; windows stand over them, own days and wind under."""
SUNLESS = (0.4, 0.9)
"""Height of the air where no face has sun."""


def hours_figure(hours: Sequence[HourShown], day: DayAtPlace) -> dict[str, Any]:
    """Lanes on one axis of hours as `data` and `layout`; each hour tells all of itself where it is pointed at."""
    x = [middle(hour) for hour in hours]
    temp = [_degrees(hour.temp_c, day) for hour in hours]
    spread = [air_units.gap(hour.temp_spread_k, day.units) for hour in hours]
    known = [n for n, one in enumerate(temp) if one is not None]
    upper, lower = ([_sum(temp[n], sign * spread[n]) for n in known] for sign in (1, -1))
    data = [
        {"type": "scatter", "mode": "lines", "x": [x[n] for n in [*known, *known[::-1]]], "y": upper + lower[::-1],
         "fill": "toself", "fillcolor": "token:q1/fan-alpha", "line": {"width": 1, "color": "token:q4"},
         "hoverinfo": "skip"},
        {"type": "scatter", "mode": "lines", "x": x, "y": [_degrees(h.dew_c, day) for h in hours], "hoverinfo": "skip",
         "line": {"color": "token:ink", "width": 1.75, "dash": "dot"}},
        {"type": "scatter", "mode": "lines+markers", "x": x, "y": temp, "text": [told(hour, day) for hour in hours],
         "hovertemplate": "%{text}<extra></extra>", "line": {"color": "token:ink", "width": 2},
         "marker": {"color": "token:ink", "size": 4}},
        _bars(x, [_height(hour) for hour in hours], "y3", "token:q3") | {
            "text": [_seconds(hour) for hour in hours], "textposition": "outside", "cliponaxis": False},
    ]  # fmt: skip
    if has_sun(day):
        data.append(_bars(x, [hour.sun_frac for hour in hours], "y2", "token:q4"))
    return {"data": data, "layout": _layout(hours, day)}


def told(hour: HourShown, day: DayAtPlace) -> str:
    """Everything of an hour, a line each, as the table has it. No tag but line breaks: the others are inline style."""
    units = day.units
    said = [
        f"{clock_time(hour.at)}, {air_day.SOURCES[hour.source]}",
        gettext("air %(temp)s, dew point %(dew)s") % {
            "temp": air_units.temp(hour.temp_c, units), "dew": air_units.temp(hour.dew_c, units)},
        gettext("dries in %(about)s, %(pause)s over all that is open") % {
            "about": air_units.about(hour.middling_s), "pause": air_units.pause(hour.dry_s)},
    ]  # fmt: skip
    if has_sun(day) and hour.sun_frac is not None:
        said.append(gettext("sun on the face %(n)d of 60 min") % {"n": round(60 * hour.sun_frac)})
    if hour.wind_m_s is not None:
        wind = (air_units.wind_said(hour.wind_m_s, units), air_day.bearing(hour.wind_from_deg),
                str(air_day.SEA.get(hour.sea, "")))  # fmt: skip
        said.append(gettext("wind %(wind)s") % {"wind": " ".join(part for part in wind if part)})
    if not day.indoors and warned(hour, day):
        said.append(warned(hour, day))
    if hour.own[1]:
        said.append(gettext("own days in like air: %(n)s not limited by skin") % {"n": air_day.own_days(*hour.own)})
    return "<br>".join(said)


def _layout(hours: Sequence[HourShown], day: DayAtPlace) -> dict[str, Any]:
    axes: dict[str, Any] = {
        f"yaxis{name[1:]}": {"domain": ends, "fixedrange": True, "zeroline": False, "showgrid": False,
                             "showticklabels": False}
        for name, ends in LANES.items()
    }  # fmt: skip
    axes["yaxis"]["domain"] = LANES["y"] if has_sun(day) else SUNLESS
    axes["yaxis"] |= {"showticklabels": True, "showgrid": True, "gridcolor": "token:rule",
                      "title": {"text": gettext("Air") + f", °{day.units.temperature}"}}  # fmt: skip
    axes["yaxis2"] |= {"range": [0, 1]}
    axes["yaxis3"] |= {"range": [0, 1.6]}
    first, last = middle(hours[0]) - 0.5, middle(hours[-1]) + 0.5
    ticks = [hour for hour in hours if hour.at.hour % 3 == 0]
    return {
        "margin": {"l": 130, "r": 16, "t": 24, "b": 32}, "height": 430, "hovermode": "closest", "hoverdistance": -1,
        "showlegend": False, "bargap": 0.2, "dragmode": "zoom",
        "hoverlabel": {"font": {"family": "token:sans", "size": 13}, "align": "left"},
        "xaxis": {
            "range": [first, last], "showgrid": False, "zeroline": False, "anchor": "free", "position": 0,
            "side": "bottom", "minallowed": first, "maxallowed": last, "tickmode": "array", "tickangle": 0,
            "tickvals": [middle(hour) - 0.5 for hour in ticks], "ticktext": [f"{hour.at:%H}" for hour in ticks],
            "showspikes": True, "spikemode": "across", "spikethickness": 1, "spikedash": "solid",
            "spikecolor": "token:ink",
        },
        **axes,
        "shapes": shapes(hours, day),
        "annotations": annotations(hours, day),
    }  # fmt: skip


def _bars(x: list[float], values: list[float | None], axis: str, colour: str) -> dict[str, Any]:
    return {"type": "bar", "x": x, "y": values, "yaxis": axis, "marker": {"color": colour}, "hoverinfo": "skip"}


def _degrees(value_c: float | None, day: DayAtPlace) -> float | None:
    return None if value_c is None else round(air_units.degrees(value_c, day.units), 1)


def _sum(value: float | None, other: float) -> float | None:
    return None if value is None else round(value + other, 1)


def _height(hour: HourShown) -> float | None:
    """Of a bar, as on the drawn strip; the scale ends at 1."""
    return None if hour.middling_s is None else round(height_frac(hour.middling_s), 3)


def _seconds(hour: HourShown) -> str:
    if hour.middling_s is None:
        return ""
    return gettext("no") if hour.middling_s > air_units.LONGEST_S else air_units.short(hour.middling_s)

"""A day at a place: windows, sun, air, drying time and wind, hour by hour on one shared axis."""

from __future__ import annotations

from coaching.drawing import hours_lanes as lanes
from coaching.drawing.hours_data import DESK, Axis, HoursData, HoursSize
from coaching.drawing.svg import label, line, picture, rect

LANES = (
    ("windows", lanes.windows, lanes.WINDOW_PX), ("sun", lanes.sun, lanes.SUN_PX), ("air", lanes.air, lanes.AIR_PX),
    ("dry", lanes.dry, lanes.DRY_PX + 18), ("own", lanes.own, lanes.OWN_PX), ("wind", lanes.wind, lanes.WIND_PX + 34),
)  # fmt: skip
"""From the top: what a lane is called, who draws it, and how high it is, px."""


def draw_hours(data: HoursData, size: HoursSize = DESK) -> str:
    """Return the strip as SVG; a lane that is not named is not drawn."""
    axis = Axis(data, size)
    top, body = 22.0, [_axis_names(axis)]
    for key, draw, tall in LANES:
        if key not in data.lanes:
            continue
        head = 26.0 if size.narrow else 8.0
        body.append(line((0, top), (size.width, top), "lane-rule"))
        body.append(_lane_name(axis, key, top))
        body.append(draw(axis, top + head, tall))
        top += head + tall + 8.0
    body.append(line((0, top), (size.width, top), "lane-rule"))
    return picture(size.width, top + 1, "hours", data.title, _nights(axis, top), *body, _now(axis, top))


def _axis_names(axis: Axis) -> str:
    """Every third hour of the clock in bold."""
    bold = ("axis-day axis-monday", "axis-day", "axis-day")
    return "".join(
        label(axis.x(h), 15, mark.name, bold[(axis.data.first_hour + h) % 3], "middle")
        for h, mark in enumerate(axis.data.hours)
        if axis.named(h) and h > 0
    )


def _nights(axis: Axis, height: float) -> str:
    dark = [h for h, mark in enumerate(axis.data.hours) if mark.night]
    return "".join(rect(axis.x(h), 22, axis.hour_px, height - 22, "wash") for h in dark)


def _now(axis: Axis, height: float) -> str:
    if axis.data.now is None:
        return ""
    x = axis.x(axis.data.now)
    return line((x, 18), (x, height), "today-rule")


def _lane_name(axis: Axis, key: str, top: float) -> str:
    name, note = axis.data.lanes[key]
    if axis.size.narrow:
        return label(0, top + 14, name, "lane-word hours-lane") + label(
            axis.size.width, top + 14, note, "lane-note", "end"
        )
    parts = [label(0, top + 18, name, "lane-name")]
    parts += [label(0, top + 34 + 14 * n, words, "lane-note") for n, words in enumerate(_wrapped(note))]
    return "".join(parts)


def _wrapped(note: str, longest: int = 27) -> list[str]:
    lines: list[str] = [""]
    for word in note.split(" "):
        if lines[-1] and len(lines[-1]) + len(word) >= longest:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines

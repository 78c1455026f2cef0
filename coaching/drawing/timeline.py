"""A row of days: where a date lies, and the marks that rows and pictures of a course share."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

from coaching.drawing.svg import label, line, rect, straight, tag

_SATURDAY = 5
_TICK_PX = 3.0


@dataclass(frozen=True)
class Days:
    """A window of whole days from ``first`` to ``last``, each ``day_px`` wide, starting at ``left_px``."""

    first: date
    last: date
    day_px: float
    left_px: float = 0.0

    @property
    def count(self) -> int:
        """How many days the window holds."""
        return (self.last - self.first).days + 1

    @property
    def width(self) -> float:
        """Width of all days in px."""
        return self.count * self.day_px

    def x(self, day: date) -> float:
        """Return the left edge of a day's column in px; days outside the window lie outside the row."""
        return self.left_px + (day - self.first).days * self.day_px

    def middle(self, day: date) -> float:
        """Return the middle of a day's column in px."""
        return self.x(day) + self.day_px / 2

    def all(self) -> tuple[date, ...]:
        """Return every day of the window in order."""
        return tuple(self.first + timedelta(days=i) for i in range(self.count))

    def holds(self, day: date) -> bool:
        """Say whether a day lies in the window."""
        return self.first <= day <= self.last

    def clip(self, first: date, last: date) -> tuple[float, float] | None:
        """Return left and right edge in px of the part of a run inside the window; None when no day is."""
        start, end = max(first, self.first), min(last, self.last)
        return (self.x(start), self.x(end) + self.day_px) if start <= end else None


@dataclass(frozen=True)
class LoadDay:
    """Load of one day: height as a share 0-1 of the tallest, ramp step 1-6, done or only planned."""

    day: date
    height_frac: float
    step: int
    done: bool


@dataclass(frozen=True)
class CareRun:
    """A care action: its letter or mark, first and last day."""

    letter: str
    first: date
    last: date


@dataclass(frozen=True)
class DamageRun:
    """Days that one site spends in one stage: open, closing, rimmed or thinned."""

    stage: str
    first: date
    last: date


@dataclass(frozen=True)
class EventBox:
    """An event: its days, its name, and whether this athlete is entered."""

    first: date
    last: date
    name: str = ""


@lru_cache(maxsize=64)
def weekends(days: Days, top: float, height: float) -> str:
    """Return a wash behind each Saturday and Sunday."""
    lefts = [days.x(day) for day in days.all() if day.weekday() >= _SATURDAY]
    corners = (
        ((x, top), (x + days.day_px, top), (x + days.day_px, top + height), (x, top + height)) for x in lefts
    )
    return tag("path", {"class": "wash", "d": "".join(straight(box, closed=True) for box in corners)})


def today_rule(days: Days, today: date, top: float, bottom: float) -> str:
    """Return the rule at the start of today; nothing when today lies outside."""
    if not days.holds(today):
        return ""
    return line((days.x(today), top), (days.x(today), bottom), "today-rule")


def event_boxes(days: Days, events: tuple[EventBox, ...], top: float, height: float) -> str:
    """Return a box round the days of each event."""
    boxes = []
    for event in events:
        edges = days.clip(event.first, event.last)
        if edges:
            boxes.append(rect(edges[0], top, edges[1] - edges[0], height, "event-box"))
    return "".join(boxes)


def load_bars(days: Days, loads: tuple[LoadDay, ...], base: float, tall: float) -> str:
    """Return the bars of all days standing on ``base``: filled by the ramp when done, hollow when planned.

    Bars of one look share one path, which keeps a page of many rows small.
    """
    looks: dict[str, list[str]] = {}
    for load in loads:
        if days.holds(load.day):
            css = f"load load-done q{load.step}" if load.done else "load load-planned"
            looks.setdefault(css, []).append(_bar(days, load, base, tall))
    return "".join(tag("path", {"class": css, "d": "".join(bars)}) for css, bars in sorted(looks.items()))


def _bar(days: Days, load: LoadDay, base: float, tall: float) -> str:
    left, width = days.x(load.day) + days.day_px * 0.18, days.day_px * 0.64
    top = base - max(1.5, tall * min(max(load.height_frac, 0.0), 1.0))
    return straight(((left, base), (left, top), (left + width, top), (left + width, base)), closed=True)


def care_run(days: Days, run: CareRun, baseline: float) -> str:
    """Return the letter of a care action at its first day, then a rule to the end of its last day."""
    edges = days.clip(run.first, run.last)
    if edges is None:
        return ""
    letter = label(days.middle(max(run.first, days.first)), baseline, run.letter, "care-letter", "middle")
    if edges[1] - edges[0] <= days.day_px:
        return letter
    y, start, end = baseline - 3.5, edges[0] + days.day_px, edges[1] - 1
    stop = "" if run.last > days.last else line((end, y - _TICK_PX), (end, y + _TICK_PX), "care-rule")
    return letter + line((start, y), (end, y), "care-rule") + stop


def damage_run(days: Days, run: DamageRun, top: float, height: float) -> str:
    """Return a stage as a bar: solid open, a lower grid closing, hollow rimmed, dots thinned."""
    edges = days.clip(run.first, run.last)
    if edges is None:
        return ""
    left, right = edges
    if run.stage == "thinned":
        y = top + height / 2
        return line((left + 1.5, y), (right - 1, y), "damage damage-thinned")
    inset = 0.0 if run.stage == "open" else height * 0.125
    low, tall = top + inset, height - 2 * inset
    box = rect(left, low, right - left, tall, f"damage damage-{run.stage}")
    return box + (_grid(left, right, low, tall) if run.stage == "closing" else "")


def _grid(left: float, right: float, top: float, height: float) -> str:
    marks = [straight(((left, top + height / 2), (right, top + height / 2)), closed=False)]
    x = left + 3.5
    while x < right:
        marks.append(straight(((x, top), (x, top + height)), closed=False))
        x += 3.5
    return tag("path", {"class": "damage-grid", "d": "".join(marks)})


def no_answers(days: Days, silent: tuple[date, ...], top: float, height: float) -> str:
    """Return slanted lines over the days without an answer."""
    strokes = []
    slant = min(height, days.day_px) * 0.7
    for day in silent:
        if days.holds(day):
            lefts = (days.x(day) + days.day_px * share for share in (0.0, 0.5))
            strokes += [straight(((x, top + height), (x + slant, top)), closed=False) for x in lefts]
    return tag("path", {"class": "no-answers", "d": "".join(strokes)}) if strokes else ""


def wedge(days: Days, day: date | None, top: float) -> str:
    """Return the black wedge over the date that the sentence names."""
    if day is None or not days.holds(day):
        return ""
    x = days.middle(day)
    corners = ((x - 5, top), (x + 5, top), (x, top + 7))
    return tag("path", {"class": "wedge", "d": straight(corners, closed=True)})

"""From shown values to the inputs of the drawings, with every label in the reader's language."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from functools import cache

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

from coaching.drawing import strip as strips
from coaching.drawing import timeline
from coaching.drawing.hands import SiteMark, draw_hands
from coaching.drawing.range_bar import RangeBar, draw_range
from coaching.drawing.zones import all_sites
from coaching.usecases.shown import (
    AthleteShown,
    DamageShown,
    EntryShown,
    EventShown,
    LoadDay,
    MarkShown,
    PictureShown,
)
from coaching.wording import care, dates, numbers, sites

LOAD_STEPS = 6
LEAST_TOP_SLU = 3.0
"""The tallest bar stands for at least this load, so that a quiet squad does not look worn out."""


@dataclass(frozen=True)
class Strip:
    """One row drawn twice, for a wide and for a narrow page; the sheets show one of them."""

    wide: SafeString
    narrow: SafeString


def drawn(svg: str) -> SafeString:
    """A finished drawing. `coaching.drawing` escapes every word and every attribute it is given."""
    return mark_safe(svg)  # noqa: S308


def tallest_slu(pictures: Iterable[PictureShown | None]) -> float:
    """The load that fills a row, one for the whole page, so that rows can be compared."""
    return tallest_of(highest_slu(picture) for picture in pictures)


def highest_slu(picture: PictureShown | None) -> float | None:
    """The largest load of one athlete's days, done or planned; None where none is known."""
    days = picture.load if picture else ()
    return max((v for day in days for v in (day.done_slu, day.plan_slu) if v is not None), default=None)


def tallest_of(highest_slu: Iterable[float | None]) -> float:
    """The largest of several athletes' largest loads."""
    return max((value for value in highest_slu if value is not None), default=LEAST_TOP_SLU) or LEAST_TOP_SLU


def row_strip(row: AthleteShown, title: str, wedge: date | None, top_slu: float, quiet: bool) -> Strip:
    """The athlete's days for the morning list."""
    data = strip_data(row, title, wedge, top_slu)
    wide = strips.draw_strip(data, strips.DESK_QUIET if quiet else strips.DESK)
    return Strip(drawn(wide), drawn("" if quiet else strips.draw_strip(data, strips.PHONE)))


def strip_data(row: AthleteShown, title: str, wedge: date | None, top_slu: float) -> strips.StripData:
    """What one row is drawn from; a part that is not shared stays empty."""
    shown = row.picture or PictureShown(row.as_of)
    return strips.StripData(
        today=row.as_of,
        title=title,
        loads=loads(shown.load, row.as_of, top_slu),
        care=tuple(timeline.CareRun(str(care.VERB_MARKS[r.verb]), r.first, r.last) for r in shown.care),
        damage=damage_runs(_worst(shown.damage)),
        events=event_boxes(entry.event for entry in row.entries),
        silent=shown.silent,
        wedge=wedge,
    )


def loads(days: Iterable[LoadDay], as_of: date, top_slu: float) -> tuple[timeline.LoadDay, ...]:
    """Bars of load: what was done up to today, what is planned from today on; not known draws nothing."""
    bars = []
    for one in days:
        done = one.day < as_of or one.done_slu is not None
        value = one.done_slu if done else one.plan_slu
        if value:
            share = min(value / max(top_slu, LEAST_TOP_SLU), 1.0)
            bars.append(timeline.LoadDay(one.day, share, max(1, math.ceil(share * LOAD_STEPS)), done))
    return tuple(bars)


def damage_runs(episode: DamageShown | None) -> tuple[timeline.DamageRun, ...]:
    """The stages of one episode as bars."""
    spans = episode.spans if episode else ()
    return tuple(timeline.DamageRun(s.stage, s.first, s.last) for s in spans if s.stage != "sound")


def _worst(damage: Iterable[DamageShown]) -> DamageShown | None:
    """The one episode a row has room for: not sound, the latest to be so."""
    unsound = [d for d in damage if d.stage != "sound"]
    return max(unsound, key=lambda d: (d.sound_late or date.max, d.noticed_on), default=None)


def event_boxes(events: Iterable[EventShown]) -> tuple[timeline.EventBox, ...]:
    """Events as boxes round their days."""
    return tuple(timeline.EventBox(e.first_day, e.last_day, e.name) for e in events)


def axis(as_of: date, events: Iterable[EventShown]) -> Strip:
    """The header over the rows, for a wide and for a narrow page."""
    whole = event_boxes(events)
    short = tuple(replace(box, name=box.name.split(" ")[0]) for box in whole)
    return Strip(drawn(_axis(as_of, whole, strips.DESK)), drawn(_axis(as_of, short, strips.PHONE)))


def _axis(as_of: date, boxes: tuple[timeline.EventBox, ...], size: strips.StripSize) -> str:
    days = size.days(as_of)
    firsts = [days.first, *(d for d in days.all() if d.day == 1 and (d - days.first).days > 3)]
    title = gettext("Days from %(first)s to %(last)s, with the events") % {
        "first": dates.event_day(days.first), "last": dates.event_day(days.last),
    }  # fmt: skip
    months = tuple((d, dates.month(d)) for d in firsts)
    return strips.draw_axis(strips.AxisData(as_of, title, months, boxes), size)


def range_bar(entry: EntryShown) -> SafeString:
    """The chance with its range and the bar, as a small picture told in words."""
    title = gettext("%(chance)s, range %(range)s, %(bar)s") % {
        "chance": numbers.chance(entry.p, entry.low, entry.high),
        "range": numbers.chance_range(entry.low, entry.high),
        "bar": numbers.bar(entry.bar_frac, entry.bar_provisional),
    }
    return drawn(draw_range(RangeBar(entry.low, entry.high, title, entry.p, entry.bar_frac)))


def hands(row: AthleteShown) -> SafeString:
    """Both hands with what is not sound; each zone leads to its line in the table of sites."""
    marks = site_marks(row.picture, row.as_of)
    labels = hand_labels(gettext("Both hands of %(name)s") % {"name": row.name})
    return drawn(draw_hands(marks, labels=labels, link_prefix="#site-"))


def hand_labels(title: str) -> dict[str, str]:
    """The names a drawing of hands needs: its title, both hands, every site and every digit."""
    names = sites.all_names(site.code for site in all_sites())
    digits = {f"{s.hand}-{s.digit}": sites.digit(s.code) for s in all_sites() if s.digit}
    return {"title": title, "left": gettext("left"), "right": gettext("right"), **names, **digits}


def site_marks(picture: PictureShown | None, as_of: date) -> dict[str, SiteMark]:
    """Damage and marks by site; damage outranks a mark on the same site."""
    if picture is None:
        return {}
    found = {m.site: _mark(m, as_of) for m in picture.marks if m.site in sites_known()}
    found.update({d.site: _damage(d, as_of) for d in picture.damage if d.stage != "sound" and d.site in sites_known()})
    return found


@cache
def sites_known() -> frozenset[str]:
    """Every site that can be drawn."""
    return frozenset(site.code for site in all_sites())


def _mark(mark: MarkShown, as_of: date) -> SiteMark:
    word, since = (
        str(care.MARKS[mark.mark]),
        gettext("since %(day)s") % {"day": dates.weekday(mark.since, as_of)},
    )
    return SiteMark(
        state=mark.mark,
        spoken=f"{sites.site(mark.site)}: {word}, {since}",
        place=sites.site(mark.site),
        word=word,
        details=(since, str(care.SEEN_BY[mark.by])),
    )


def _damage(found: DamageShown, as_of: date) -> SiteMark:
    word, details = care.state_phrase(found.kind, found.stage), damage_details(found, as_of)
    return SiteMark(
        state=found.stage,
        spoken=f"{sites.site(found.site)}: {word}; {'; '.join(details)}",
        place=sites.site(found.site),
        word=word,
        details=details,
        kind=found.kind,
    )


def damage_details(found: DamageShown, as_of: date) -> tuple[str, ...]:
    """What is known of one episode, each in a few words; what nobody asked is said to be not known."""
    days = (as_of - found.noticed_on).days
    said = [
        gettext("noticed %(day)s, day %(n)d") % {"day": dates.weekday(found.noticed_on, as_of), "n": days},
        _opening(found.opens_on_pull),
        gettext("pain on a pull: %(n)s") % {"n": numbers.rating(found.pain)},
    ]
    if found.depth:
        said.insert(1, str(care.DEPTHS[found.depth]))
    return tuple(said)


def _opening(opens: bool | None) -> str:
    if opens is None:
        return gettext("opens on a pull: not known")
    return gettext("opens on a pull") if opens else gettext("stays closed on a pull")

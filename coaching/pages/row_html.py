"""One line of the morning list as markup. A template does the same ten times slower, and there are a thousand lines.

Everything that was typed by somebody passes `conditional_escape`; drawings and sentences come escaped already.
"""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import quote

from django.urls import reverse
from django.utils.html import conditional_escape as safe
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

if TYPE_CHECKING:
    from coaching.pages.rows import Row


def row_html(row: Row) -> SafeString:
    """The list item of one athlete."""
    css = f"row{' row-quiet' if row.quiet else ''}{' changed' if row.changed else ''}"
    square = f'<span class="level level-{safe(row.level)}" aria-hidden="true"></span>' if row.level else "<span></span>"
    page = safe(reverse("athlete", args=[row.code]))
    event = ""
    if row.event_code:
        event = f'<a href="{safe(reverse("event", args=[row.event_code]))}">{safe(row.event)}</a>'
    narrow = f'<div class="narrow">{safe(row.strip.narrow)}</div>' if row.strip.narrow else ""
    return mark_safe(  # noqa: S308 - every part is escaped where it is put in
        f'<li class="{css}" id="row-{safe(row.code)}">\n'
        f'<div class="row-who">{square}\n'
        f'<a class="row-name" href="{page}">{safe(row.name)}</a> '
        f'<span class="row-level">{safe(row.level_word)}</span>\n'
        f'<span class="row-event">{event}</span></div>\n'
        f'<div class="row-strip"><div class="wide">{safe(row.strip.wide)}</div>{narrow}</div>\n'
        f'<div class="row-holds">{_holds(row)}</div>\n'
        f'<div class="row-reason"><p>{safe(row.reason.html)}</p>{_today(row)}</div>{_decide(row)}\n'
        "</li>"
    )


def _today(row: Row) -> str:
    """Today's verdict and limit, where they are not plain."""
    return f'<p class="row-today">{safe(row.today)}</p>' if row.today else ""


def _decide(row: Row) -> str:
    """The way to the decisions that wait; the page shows it to those who are asked."""
    if not row.asks:
        return ""
    where = f'{safe(reverse("decisions"))}?about={safe(quote(row.code))}'
    words = safe(gettext("answer what waits"))
    return f'<p class="row-decide"><a href="{where}" data-decide>{words}</a></p>'


def _holds(row: Row) -> str:
    """The chance, its range as figures and as a picture, and what changed; nothing where no event is entered."""
    if not row.chance:
        return ""
    heard = "" if row.stopped else ' aria-hidden="true"'
    change = f'<span class="holds-change">{safe(row.change)}</span>' if row.change else ""
    return (
        f'<span><strong class="holds" aria-hidden="true">{safe(row.chance)}</strong>'
        f'<span class="holds-range"{heard}>{safe(row.range)}</span></span>{safe(row.range_bar)}{change}'
    )

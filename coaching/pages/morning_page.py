"""The page of the morning list, with its lines put in as they were kept: a large list is copied once and no more."""

from __future__ import annotations

from django.http import HttpRequest
from django.template.loader import render_to_string
from django.utils.safestring import mark_safe

from coaching.pages.rows import Page

HERE = mark_safe("<!--lines-->")
"""Where the lines go. What people typed is escaped, so that nothing of theirs can look like it."""


def written(page: Page, request: HttpRequest | None = None) -> bytes:
    """The whole page in UTF-8."""
    around = render_to_string("coaching/morning.html", {"page": page, "here": "morning", "lines": HERE}, request)
    head, here, tail = around.partition(HERE)
    lines = page.drawn if here else []
    return b"".join([head.encode(), *(part for line in lines for part in (line.html, b"\n")), tail.encode()])

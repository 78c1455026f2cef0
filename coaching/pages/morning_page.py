"""The page of the morning list, with its lines put in as they were kept: a large list is copied once and no more."""

from __future__ import annotations

from django.http import HttpRequest
from django.template.loader import render_to_string
from django.utils.safestring import mark_safe

from athletes.records.access_writing import COACHES, TEAM
from coaching.pages.rows import Page

HERE = mark_safe("<!--lines-->")
"""Where the lines go. What people typed is escaped, so that nothing of theirs can look like it."""


def written(page: Page, request: HttpRequest | None = None, *, roles: frozenset[str] = frozenset()) -> bytes:
    """The whole page in UTF-8, with what people of these roles may do from it."""
    shown = {"page": page, "here": "morning", "lines": HERE, "may_answer": bool(roles & COACHES)}
    shown["may_hand_over"] = bool(roles & TEAM)
    around = render_to_string("coaching/morning.html", shown, request)
    head, here, tail = around.partition(HERE)
    lines = page.listed if here else []
    return b"".join([head.encode(), *(part for line in lines for part in (line.html, b"\n")), tail.encode()])

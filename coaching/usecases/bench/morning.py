"""Time of the morning list of a large squad, against one row of a table that holds the finished page."""

from __future__ import annotations

from datetime import datetime
from importlib import import_module
from typing import Any

from django.contrib.auth import get_user_model
from django.db import connection
from django.test import RequestFactory
from django.test.utils import CaptureQueriesContext
from django.urls import resolve, reverse

from coaching.usecases import accounts, sign_in
from coaching.usecases.bench.timing import Turns, Work, interleaved, ratio, summary

PREBUILT = "bench_prebuilt_page"
FORGETS = "coaching.pages.rows"


def morning(now: datetime, turns: Turns) -> dict[str, Any]:
    """The page as the head coach of every squad gets it, without sign-in and middleware, against the prebuilt one.

    `page` is the usual case, in which the process has drawn the lines before; `page_drawn_anew` remembers nothing, as
    after a night that has changed every line.
    """
    page = _page()
    _prebuild(page().decode())
    works = {"page": Work(page), "page_drawn_anew": Work(_anew(page)), "prebuilt_row": Work(_prebuilt)}
    found = summary(works, interleaved(works, turns))
    with CaptureQueriesContext(connection) as asked:
        html = page().decode()
    coach = _coach()
    with CaptureQueriesContext(connection) as of_roles:
        sign_in.viewer(coach)
    return {
        "times": found,
        "rows": html.count('<li class="row'),
        "data_queries": len(asked) - len(of_roles),
        "bytes": len(html.encode()),
        "page_over_prebuilt_row": ratio("page", "prebuilt_row", found),
        "page_drawn_anew_over_prebuilt_row": ratio("page_drawn_anew", "prebuilt_row", found),
    }


def _page() -> Any:
    account = _coach()
    view = resolve(reverse("morning")).func

    def page() -> bytes:
        request = RequestFactory().get("/morning")
        request.user, request.viewer, request.session = account, sign_in.viewer(account), {}
        return bytes(view(request).content)

    return page


def _coach() -> Any:
    username = next(login.username for login in accounts.demo_logins() if login.role == "head-coach")
    return get_user_model().objects.get(username=username)


def _anew(page: Any) -> Any:
    """The page without what its module remembers. A use-case may not import a page, so it is found where it runs."""
    forget = import_module(FORGETS).forget_drawn

    def anew() -> bytes:
        forget()
        return bytes(page())

    return anew


def _prebuild(html: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute(f"CREATE TABLE {PREBUILT} (id integer PRIMARY KEY, html text NOT NULL)")
        cursor.execute(f"INSERT INTO {PREBUILT} VALUES (1, %s)", [html])  # noqa: S608 - a name of our own


def _prebuilt() -> bytes:
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT html FROM {PREBUILT} WHERE id = 1")  # noqa: S608 - a name of our own
        return str(cursor.fetchone()[0]).encode()

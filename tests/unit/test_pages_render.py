"""The coach's pages from hand-made values: what is said, what is kept back, what is escaped. No database."""

from __future__ import annotations

from dataclasses import replace
from html.parser import HTMLParser

import plotly.graph_objects as go
import pytest
from django.template.loader import render_to_string

from coaching.pages import course, figure
from coaching.pages.athlete_sheet import Sheet
from coaching.pages.morning_page import written
from coaching.pages.rows import Page
from coaching.rules.conclusions import Reason, Today
from coaching.usecases.shown import AthleteShown, MorningList
from tests import shown_cast as cast

NASTY = '<script>alert("x")</script>'
VOID = {"meta", "link", "input", "br", "img", "hr"}


class Balanced(HTMLParser):
    """Fails on a tag that closes what was not opened, and keeps ids."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.ids: list[str] = []
        self.hrefs: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_startendtag(tag, attrs)
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        self.ids += [found["id"] or ""] if "id" in found else []
        self.hrefs += [found["href"] or ""] if "href" in found else []

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def parsed(html: str) -> Balanced:
    found = Balanced()
    found.feed(html)
    found.close()
    return found


def morning(shown: MorningList) -> str:
    return written(Page(shown)).decode()


def athlete(shown: AthleteShown) -> str:
    return render_to_string("coaching/athlete.html", {"sheet": Sheet(shown)})


def squad() -> MorningList:
    """Four athletes in the order of the use-case, one of each level but one."""
    silent = (cast.entry("not-known", (Reason("silence", None, cast.AS_OF, {"days": 5}),)),)
    fine = (replace(cast.entry("on-course", ()), level_before=None),)
    return cast.morning(
        cast.athlete("a4", "Kwame", entries=(cast.entry("out-of-reach"),)),
        cast.athlete("a3", "Adaeze"),
        cast.athlete("a2", "Soraya", entries=silent),
        cast.athlete("a1", "Hana", entries=fine),
    )


def test_the_order_is_that_of_the_list_and_silence_is_not_fine() -> None:
    rows = Page(squad()).rows
    assert [row.name for row in rows] == ["Kwame", "Adaeze", "Soraya", "Hana"]
    assert rows[2].chance == "—" and rows[2].level_word == "not known" and not rows[2].quiet
    assert [row.quiet for row in rows] == [False, False, False, True]


def test_a_stopped_athlete_of_a_mild_level_stays_where_the_list_has_put_them() -> None:
    """The page must not sort again: by level alone whoever needs a doctor would stand at the end."""
    stopped = cast.athlete("a9", "Zara", medical="emergency", entries=(cast.entry("on-course", ()),))
    html = morning(cast.morning(stopped, *squad().rows))
    names = [name for name in parsed(html).hrefs if name.startswith("/athletes/")]
    assert names == [f"/athletes/{code}" for code in ("a9", "a4", "a3", "a2", "a1")]


def test_the_headline_decides_and_the_caution_stands_once() -> None:
    html = morning(squad())
    assert "Decide for Kwame and Adaeze. One is not known." in html
    assert html.count("Skin only, not a medical clearance.") == 1
    assert "<strong>Mon 15</strong>" in html and html.count('class="row changed"') == 3


def test_rows_say_what_they_show_without_sight() -> None:
    html = morning(squad())
    assert 'aria-label="skin holds: 45 in 100, range 30 to 60, bar 60, provisional"' in html
    assert 'aria-label="Adaeze, for Lindmark Cup: act by Mon 15.' in html


@pytest.mark.parametrize("page", ["morning", "athlete"])
def test_pages_are_well_formed_and_lead_only_to_ids_that_exist(page: str) -> None:
    html = morning(squad()) if page == "morning" else athlete(cast.athlete())
    found = parsed(html)
    assert found.open == []
    assert len(found.ids) == len(set(found.ids))
    assert {href[1:] for href in found.hrefs if href.startswith("#")} <= set(found.ids)


@pytest.mark.parametrize("page", ["morning", "athlete"])
def test_names_are_escaped_everywhere(page: str) -> None:
    entry = replace(cast.entry(), event=replace(cast.CUP, name=NASTY))
    row = cast.athlete("a1", NASTY, entries=(entry,))
    html = morning(replace(cast.morning(row), squad_names=(NASTY,))) if page == "morning" else athlete(row)
    assert "<script>alert" not in html and "&lt;script&gt;alert" in html


def test_an_empty_list_says_what_to_do() -> None:
    html = morning(cast.morning())
    assert "No athletes here yet." in html and 'class="rows"' not in html


def test_nothing_computed_yet_says_how_far_it_is() -> None:
    waiting = cast.athlete(computed_at=None, entries=(), stale=True, picture=None)
    html = morning(cast.morning(waiting, stale=1))
    assert "Computing, 0 of 1 are done." in html and "Not computed yet." in html
    assert "refresh" not in html


def test_a_manager_who_shares_the_level_alone_learns_no_site() -> None:
    level_only = replace(cast.entry(), reasons=(), deadlines=(), parts={}, episode_parts={}, p_usual=None)
    row = cast.athlete(
        shared=frozenset({"level"}), entries=(level_only,), picture=None, limits=(), steps=(), refused=(),
        today=Today("not-those-holds"),
    )  # fmt: skip
    html = morning(cast.morning(row)) + athlete(row)
    assert "The reason is not shared with you." in html and "Damage by site is not shared with you." in html
    assert "crease" not in html


def test_members_who_share_nothing_are_counted() -> None:
    assert "2 members share no level with you" in morning(cast.morning(cast.athlete(), not_shared=2))


def test_the_athlete_page_has_the_reason_largest_and_the_number_with_its_range() -> None:
    html = athlete(cast.athlete())
    assert "<h1>Crease split, right middle, tip crease, still opens: doubtful, possible if taped." in html
    assert "range 30 to 60" in html and "bar 60, provisional" in html
    assert "do not add up" in html and "−38" in html


def test_the_athlete_page_names_what_is_not_known() -> None:
    html = athlete(cast.athlete())
    assert "undefined: the days do not differ" in html and "at least 5.2, 1 day not known" in html
    assert "Thu 18, 18:00" in html and "missed" in html and "2 days to spare" in html


def test_a_medical_sign_is_said_first_and_loudly() -> None:
    html = athlete(cast.athlete(medical="emergency", today=Today("medical")))
    assert "Go to an emergency department now" in html and "No climbing" in html


def test_the_course_reads_without_scripts() -> None:
    html = athlete(cast.athlete())
    assert 'id="course-drawn"' in html and 'class="course"' in html
    assert html.count("no answer") >= 1 and 'id="course-figure" type="application/json"' in html


def test_the_figure_is_one_that_the_plotting_library_takes() -> None:
    entry, days = cast.entry(), cast.course()
    made = figure.course_figure(days, entry, cast.AS_OF)
    plain = _without_tokens(made)
    drawn = go.Figure(plain)  # refuses unknown keys and values
    assert [trace.name for trace in drawn.data] == [
        "80 of 100 courses",
        "50 of 100 courses",
        "forecast",
        "answered",
    ]
    assert len(drawn.data[3].x) == 7  # eight days up to today, one of them silent


def _without_tokens(value: object) -> object:
    """Colours by name become black; the page's script does the same with the page's own."""
    if isinstance(value, dict):
        return {key: _without_tokens(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_without_tokens(inner) for inner in value]
    return "#000" if isinstance(value, str) and value.startswith("token:") else value


def test_the_table_holds_the_days_of_the_figure() -> None:
    found = course.course(cast.athlete(), cast.entry())
    assert found is not None
    assert len(found.lines) == len({line.day for line in found.lines}) == 20  # 4 to 23 March, both counted
    assert [line.event for line in found.lines if line.event] == ["Lindmark Cup"]

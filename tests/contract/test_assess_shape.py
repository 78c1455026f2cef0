"""The answer of `assess`, key by key, against its written form, and what a bundle may and may not change in it."""

from __future__ import annotations

import csv
import json
import math
import re
from collections.abc import Iterable
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from coaching.rules import rulebook
from tests.journey.cases import told
from tests.journey.cases.asked import Found, asked_text, case_text, situations_text
from tests.journey.cases.histories import written

HOLDS = {"crimp", "pocket", "sloper", "jug", "pinch", "swing", "crack"}
SURFACES = {"wood", "plastic", "fresh plastic", "fine rock", "ordinary rock", "sharp rock", None}
LEVELS = {"on-course", "tight", "act", "out-of-reach", "not-known"}
MAY_CLIMB = {"free", "protected", "not-those-holds", "off", "medical", "not-known"}
PARTS = {"morning", "day", "evening", "night"}
CLASSES = {"allergy", "age", "open-skin", "medical", "timing", "skin-kind", "site", "clash"}
HARD_CLASSES = {"allergy", "age", "open-skin", "medical"}
FALLBACKS = {"protect", "lighter-event", "fewer-days", "later-arrival", "stand-in", "withdraw", "medical"}
STATES = {"open", "due", "done", "missed"}
REASONS = {
    "medical", "split", "tear", "pink", "reserve", "dampness", "dryness", "glassy", "shedding", "agent",
    "toughening", "load", "layoff", "clash", "air", "silence", "disagreement", "deadline",
}  # fmt: skip
DEADLINES = {
    "agent-first-use", "agent-start", "agent-stop", "soften-start", "even-last", "rough-session-last",
    "rest-start", "toughen-start", "toughen-stop", "look", "taped-try", "rehearsal-start", "medical-signoff",
    "entry",
}  # fmt: skip
SITED = {"split", "tear", "pink", "medical", "glassy", "shedding", "reserve", "toughening", "disagreement"}
DIGIT_SITE = r"[LR]-(thumb|index|middle|ring|little)-" \
    r"(tip|middle|base|tip-crease|middle-crease|base-crease|thumb-side|little-side|back|nail-rim)"  # fmt: skip
SITE = re.compile(rf"{DIGIT_SITE}|[LR]-(palm-callus|palm-heel|web)")
DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
WAITS_FOR = re.compile(r"(look|taped-try):\d{4}-\d{2}-\d{2}")


def _texts() -> list[str]:
    return [situations_text(), *(case_text(day) for day in told.CASES)]


@pytest.fixture(scope="module")
def documents() -> list[Found]:
    return [json.loads(text) for text in _texts()]


@pytest.fixture(scope="module")
def entries(documents: list[Found]) -> list[Found]:
    return [one for document in documents for one in document["entries"]]


@pytest.fixture(scope="module")
def athletes(documents: list[Found]) -> list[Found]:
    return [one for document in documents for one in document["athletes"]]


def parts(of: Iterable[Found], name: str) -> list[Found]:
    return [part for one in of for part in one[name]]


def has_keys(found: Found, needed: str, optional: str = "") -> bool:
    return set(needed.split()) <= set(found) <= set(needed.split()) | set(optional.split())


def is_day(value: object) -> bool:
    return isinstance(value, str) and DAY.fullmatch(value) is not None and bool(date.fromisoformat(value))


def test_the_document_has_its_five_keys(documents: list[Found]) -> None:
    for document in documents:
        assert has_keys(document, "as_of model rulebook entries athletes") and is_day(document["as_of"])
        assert document["rulebook"] == rulebook.current().version


def test_entries(entries: list[Found]) -> None:
    for one in entries:
        assert has_keys(one, "athlete_id event_id level readiness reasons deadlines fallbacks", "good_days")
        assert one["level"] in LEVELS
        assert has_keys(one["readiness"], "p low high")
        assert has_keys(one.get("good_days", {}), "of p50 low high" if "good_days" in one else "")


def test_good_days_belong_to_trips(entries: list[Found]) -> None:
    trips = [one for one in entries if "good_days" in one]
    assert trips and all(one["athlete_id"].startswith(("tomasz", "crack", "holed", "pink-trip")) for one in trips)
    assert all(0 <= one["good_days"]["low"] <= one["good_days"]["high"] <= one["good_days"]["of"] for one in trips)


def test_reasons(entries: list[Found]) -> None:
    for one in parts(entries, "reasons"):
        assert has_keys(one, "code numbers", "site date") and one["code"] in REASONS
        assert is_day(one["date"])
        assert ("site" in one) == (one["code"] in SITED) or one["code"] == "deadline"
        assert SITE.fullmatch(one.get("site", "L-index-tip")) or one["site"] == "site not known"


def test_entries_off_course_have_a_reason_and_a_way_out(entries: list[Found]) -> None:
    off = [one for one in entries if one["level"] != "on-course" and one["deadlines"]]
    assert off and all(one["reasons"] and one["fallbacks"] for one in off)


def test_deadlines(entries: list[Found]) -> None:
    """`site` and `at` come on top of the written keys: whose look it is, and the hour on which entries close."""
    forms = rulebook.current().forms
    for one in parts(entries, "deadlines"):
        assert has_keys(one, "kind earliest latest slack_days state rule", "form median if site at")
        assert one["kind"] in DEADLINES and one["state"] in STATES and one.get("form") in {*forms, None}
        assert is_day(one["latest"]) and (one["earliest"] is None or one["earliest"] <= one["latest"])
        assert ("at" in one) == (one["kind"] == "entry")


def test_deadlines_count_from_the_day_of_the_question(documents: list[Found]) -> None:
    for document in documents:
        as_of = date.fromisoformat(document["as_of"])
        for one in parts(document["entries"], "deadlines"):
            assert date.fromisoformat(one["latest"]) - as_of == timedelta(days=one["slack_days"])
            assert one["slack_days"] >= 0 or one["state"] in ("missed", "done")
            assert one["state"] != "due" or 0 <= one["slack_days"] <= 2


def test_deadlines_stand_by_latest_day(entries: list[Found]) -> None:
    for one in entries:
        latest = [deadline["latest"] for deadline in one["deadlines"]]
        assert latest == sorted(latest)


def test_only_what_waits_for_an_answer_says_so(entries: list[Found], athletes: list[Found]) -> None:
    for one in [*parts(entries, "deadlines"), *parts(athletes, "limits"), *parts(athletes, "steps")]:
        waits = one.get("if")
        assert waits is None or WAITS_FOR.fullmatch(waits)
        assert waits is None or waits[-10:] <= one.get("latest", one.get("date"))
    assert {one["kind"] for one in parts(entries, "deadlines") if "if" in one} == {"taped-try", "entry"}
    assert {one["form"] for one in parts(athletes, "steps") if "if" in one} == {"taped try"}


def test_fallbacks(entries: list[Found]) -> None:
    for one in parts(entries, "fallbacks"):
        assert has_keys(one, "code cost") and one["code"] in FALLBACKS and one["cost"]


def test_athletes(athletes: list[Found]) -> None:
    for one in athletes:
        assert has_keys(one, "athlete_id medical known_until today limits steps refused")
        assert one["medical"] in ("none", "ask", "today", "emergency")
        assert one["known_until"] is None or is_day(one["known_until"])
        assert has_keys(one["today"], "may_climb avoid sites") and one["today"]["may_climb"] in MAY_CLIMB
        assert set(one["today"]["avoid"]) <= HOLDS
        assert all(SITE.fullmatch(site) or site == "site not known" for site in one["today"]["sites"])


def test_limits(athletes: list[Found]) -> None:
    for one in athletes:
        days = [limit["date"] for limit in one["limits"]]
        assert days == sorted(set(days)) and all(map(is_day, days))
    for limit in parts(athletes, "limits"):
        assert has_keys(limit, "date surface minutes hard_tries", "if") and limit["surface"] in SURFACES


def test_steps(athletes: list[Found]) -> None:
    forms = rulebook.current().forms
    for one in parts(athletes, "steps"):
        assert has_keys(one, "date part verb form sites rule caution source", "if")
        assert is_day(one["date"]) and one["part"] in PARTS and forms[one["form"]].verb == one["verb"]
        assert one["caution"] == forms[one["form"]].caution and one["source"]


def test_refused(athletes: list[Found]) -> None:
    forms = rulebook.current().forms
    for one in parts(athletes, "refused"):
        assert has_keys(one, "verb form rule hard class instead", "date") and is_day(one["date"])
        assert one["class"] in CLASSES and one["hard"] is (one["class"] in HARD_CLASSES)
        assert set(one["instead"]) <= set(forms) and one["form"] not in one["instead"]


def test_what_is_refused_is_no_step(athletes: list[Found]) -> None:
    for one in athletes:
        steps = {(step["date"], step["form"], step["part"]) for step in one["steps"]}
        for refused in one["refused"]:
            same = [step for step in steps if step[:2] == (refused["date"], refused["form"])]
            assert not same or one["athlete_id"].startswith("cream-first")


def test_numbers_are_finite_and_unknown_is_null(documents: list[Found]) -> None:
    def numbers(value: Any) -> Iterable[float]:
        if isinstance(value, dict):
            value = list(value.values())
        if isinstance(value, list):
            for item in value:
                yield from numbers(item)
        elif isinstance(value, float):
            yield value

    assert all(math.isfinite(one) for one in numbers(documents))
    assert not any(word in text for text in _texts() for word in ("NaN", "Infinity"))


def _append(folder: Path, table: str, *rows: dict[str, Any]) -> None:
    path = folder / f"{table}.csv"
    kept = list(csv.DictReader(path.open(newline="", encoding="utf-8"))) if path.exists() else []
    every = [*kept, *rows]
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, list(dict.fromkeys(key for row in every for key in row)), restval="")
        writer.writeheader()
        writer.writerows(every)


def _later_rows(folder: Path, who: str) -> None:
    """Everything that could happen on the days after the question."""
    on = {"athlete_id": who, "local_date": "2027-03-12"}
    flags = {"reserve": 1, "sting": 9, "pull_pain": 9, "red_flags": "pus", "marks": "L-index-tip=pink"}
    _append(folder, "checkins", {**on, **flags})
    _append(folder, "sessions", {**on, "planned": "no", "minutes": 180, "rpe": 9, "skin_limited": "yes"})
    look = {"episode_id": f"{who}-1", "local_date": "2027-03-13", "stage": "sound", "pain": 0, "opens_on_pull": "no"}
    _append(folder, "damage_looks", look)
    torn = {"episode_id": f"{who}-later", "athlete_id": who, "site": "L-ring-base", "kind": "flapper"}
    _append(folder, "damage", {**torn, "noticed_on": "2027-03-12"})
    _append(folder, "sightings", {**on, "by": "medical", "marks": "L-index-tip=pink"})
    _append(folder, "care", {**on, "status": "done", "verb": "dry", "form": "methenamine cream"})
    signed = {"athlete_id": who, "form": "methenamine cream", "by": "medical", "given_on": "2027-03-12"}
    _append(folder, "signoffs", signed)


def test_rows_of_later_days_change_nothing_and_the_same_bundle_gives_the_same_bytes(tmp_path: Path) -> None:
    day = told.ADAEZE_DAY
    folder = written(tmp_path / "bundle", told.told(*told.CASES[day]))
    for telling in told.TELLINGS:
        _later_rows(folder, f"adaeze-{telling}")
    assert asked_text(folder, day) == case_text(day)


def test_what_is_planned_for_later_days_does_change_the_answer(tmp_path: Path) -> None:
    """The contradicting telling differs from the usual one in nothing but plans of later days."""
    document = json.loads(case_text(told.ADAEZE_DAY))
    usual, contrary = ({**one, "athlete_id": ""} for one in document["athletes"] if "bare" not in one["athlete_id"])
    assert usual != contrary

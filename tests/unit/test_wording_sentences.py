"""Places, days, verdicts, refusals, limits and fallbacks in words; names are escaped."""

from __future__ import annotations

import pytest

from coaching.rules.conclusions import Deadline, Fallback, Limit, Refusal, Today
from coaching.wording import (
    care,
    conditions,
    dates,
    deadlines,
    fallbacks,
    levels,
    limits,
    refusals,
    sentences,
    sites,
    verdicts,
)
from tests import shown_cast as cast


@pytest.mark.parametrize(
    ("code", "name"),
    [
        ("R-middle-tip-crease", "right middle, tip crease"),
        ("L-index-tip", "left index, tip pad"),
        ("R-thumb-little-side", "right thumb, little-finger side"),
        ("L-palm-callus", "left palm, callus row"),
        ("site not known", "site not known"),
        ("X-index-tip", "site not known"),
        ("", "site not known"),
    ],
)
def test_a_site_is_said_as_one_says_it(code: str, name: str) -> None:
    assert sites.site(code) == name


def test_days_go_by_weekday() -> None:
    assert dates.weekday(cast.in_march(18), cast.AS_OF) == "Thu 18"
    assert dates.day(cast.AS_OF, cast.AS_OF) == "today"
    assert dates.moment("2027-03-18T18:00:00+01:00", cast.AS_OF) == "Thu 18, 18:00"


def test_a_sentence_escapes_what_is_put_into_it() -> None:
    found = sentences.sentence(
        "%(name)s by %(day)s", name="<b>Ann & Bo</b>", day=sentences.bold("<i>Thu</i>")
    )
    assert found.html == "&lt;b&gt;Ann &amp; Bo&lt;/b&gt; by <strong>&lt;i&gt;Thu&lt;/i&gt;</strong>"
    assert found.plain == "<b>Ann & Bo</b> by <i>Thu</i>"


def test_the_headline_decides_with_names() -> None:
    assert levels.headline(["A", "B", "C"], 2, 24) == "Decide for A, B and C. Two are not known."
    assert levels.headline([], 1, 24) == "Nothing to decide today. One is not known."
    assert levels.headline([], 0, 0) == "No athletes here yet."


def test_the_level_line_names_event_and_day() -> None:
    assert levels.level_for_event(cast.entry(), cast.AS_OF) == "for Lindmark Cup: act by Mon 15"


def test_an_emergency_sends_to_the_emergency_department_and_never_names_an_illness() -> None:
    advice = verdicts.medical_advice("emergency")
    assert "emergency department now" in advice[0]
    assert "no tape, no glue, no filing" in " ".join(advice).lower()
    assert verdicts.medical_advice("none") == []


def test_the_verdict_names_sites_and_holds() -> None:
    notes = verdicts.what_it_means(Today("not-those-holds", ("crimp", "jug"), (cast.CREASE,)))
    assert notes == ["Spare: right middle, tip crease.", "Leave out: crimps and jugs."]
    assert verdicts.verdict(Today("not-known")) == "Not known: protect until someone has looked"


def test_a_refusal_says_why_and_what_instead() -> None:
    found = Refusal("dry", "methenamine spray", "r", True, "timing", ("fan", "cold rock"), cast.in_march(12))
    assert "too late, or too close to the event" in refusals.refused([found], cast.AS_OF).plain
    assert refusals.instead(found) == "Instead: fan, cold rock."
    assert refusals.who_may_overrule([found]).startswith("Hard stop")


def test_a_limit_says_surface_minutes_and_tries() -> None:
    allowed = Limit(cast.in_march(18), "wood", 30, 10, "look:2027-03-17")
    assert limits.limit(allowed, cast.AS_OF).plain == (
        "Thu 18: no rougher than wood; at most 30 min; at most 10 hard tries, "
        "only if the look on Wed 17 allows it."
    )
    assert "no load on the hands" in limits.limit(Limit(cast.AS_OF, None, 0, 0), cast.AS_OF).plain


def test_a_deadline_says_how_much_time_there_is() -> None:
    found = Deadline("entry", None, cast.in_march(18), 0, "due", "r", at="2027-03-18T18:00:00+01:00")
    assert deadlines.by_when(found, cast.AS_OF) == "Thu 18, 18:00"
    assert deadlines.days_to_spare(found) == "no day to spare"


def test_a_fallback_says_its_cost_and_hides_codes() -> None:
    found = Fallback("stand-in", {"by": "2027-03-18T18:00:00+01:00", "p_lost": 0.4, "event_id": "x"})
    assert fallbacks.fallback(found, cast.AS_OF).plain == "name a stand-in: by Thu 18, 18:00"


def test_a_condition_reads_the_day_off_its_token() -> None:
    assert conditions.condition("look:2027-03-17", cast.AS_OF) == "the look on Wed 17 allows it"
    assert conditions.condition("taped-try:2027-03-17", cast.AS_OF) == "the taped try on Wed 17 holds"


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("common practice, no source", "practice"),
        ("judgement: two tries", "ours"),
        ("Goh 1990, Int J Dermatol", "study"),
    ],
)
def test_a_source_is_one_word(text: str, word: str) -> None:
    assert care.source(text) == word


def test_refusals_of_one_care_are_one_sentence_with_its_days_and_causes() -> None:
    plan = [
        Refusal("dry", "methenamine spray", "r", class_ == "age", class_, ("fan",), cast.in_march(n))
        for n in (12, 13, 14)
        for class_ in ("age", "timing")
    ]
    (group,) = refusals.grouped(plan)
    said = refusals.refused(group, cast.AS_OF).plain
    assert "Fri 12 to Sun 14" in said and "under age" in said and "too late" in said
    assert refusals.who_may_overrule(group).startswith("Hard stop")

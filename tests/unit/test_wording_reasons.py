"""Reasons as a coach would say them: place, state, what it means, and one date in bold."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from coaching.rules.conclusions import Deadline, Reason
from coaching.rules.weighed import ORDER
from coaching.wording import actions, reasons
from tests import shown_cast as cast


def said(reason: Reason, level: str = "act") -> str:
    return reasons.reason(reason, cast.entry(level), cast.AS_OF).plain


def test_an_open_crease_split_is_doubtful_with_both_dates() -> None:
    assert said(cast.crease_split()) == (
        "Crease split, right middle, tip crease, still opens: doubtful, possible if taped. "
        "Look on Mon 15. Taped try Wed 17."
    )


def test_only_the_first_date_is_bold() -> None:
    html = reasons.reason(cast.crease_split(), cast.entry(), cast.AS_OF).html
    assert html.count("<strong>") == 1 and "<strong>Mon 15</strong>" in html


def test_out_of_reach_names_the_stand_in_by_the_hour() -> None:
    assert said(cast.crease_split(), "out-of-reach").endswith(
        "not expected back in time. Name the stand-in by Thu 18, 18:00."
    )


@pytest.mark.parametrize("code", ORDER)
def test_a_reason_without_numbers_guesses_nothing(code: str) -> None:
    bare = said(Reason(code))
    assert bare and "None" not in bare and "nan" not in bare and "%(" not in bare


@pytest.mark.parametrize("code", ORDER)
@pytest.mark.parametrize("level", ["act", "tight", "out-of-reach", "not-known"])
def test_no_reason_says_ready(code: str, level: str) -> None:
    assert "ready" not in said(Reason(code, cast.CREASE, cast.in_march(15)), level).lower()


def test_a_site_that_was_not_said_is_not_known_and_one_not_shared_says_so() -> None:
    assert "site not known" in said(Reason("pink", "site not known"))
    assert "site not shared with you" in said(Reason("pink", None))


def test_the_sign_itself_is_named_only_with_its_site() -> None:
    sign = {"grade": "today", "first_flag": "pus"}
    assert "pus" in said(Reason("medical", cast.CREASE, cast.AS_OF, sign))
    assert "pus" not in said(Reason("medical", None, cast.AS_OF, sign))


@pytest.mark.parametrize(
    ("grade", "words"),
    [("emergency", "Emergency department now"), ("today", "A doctor today"), ("ask", "Ask in person today")],
)
def test_medical_says_where_to_go(grade: str, words: str) -> None:
    assert words in said(Reason("medical", cast.CREASE, cast.AS_OF, {"grade": grade}))


def test_a_late_first_use_is_refused_in_words() -> None:
    reason = Reason("agent", None, cast.in_march(6), {"form": "methenamine spray", "class": "timing"})
    assert said(reason).startswith("Methenamine spray, refused so close to the event.")


@pytest.mark.parametrize(("rows", "planned"), [(2, "planned from Mon 15"), (1, "planned Mon 15")])
def test_a_late_first_use_says_which_planned_day_was_refused(rows: int, planned: str) -> None:
    numbers = {"form": "methenamine spray", "class": "timing", "rows": rows, "planned_on": "2027-03-15"}
    first_use = Deadline("agent-first-use", cast.AS_OF, cast.in_march(12), 1, "due", "deadline.agent")
    entry = replace(cast.entry(), deadlines=(first_use,))
    found = reasons.reason(Reason("agent", None, cast.in_march(12), numbers), entry, cast.AS_OF).plain
    assert found == (
        f"Methenamine spray, {planned}: too close to the event. "
        "A first use, if at all, by Fri 12, patch check first."
    )


@pytest.mark.parametrize(("pain", "words"), [(4, "closing, pain 4 of 10, at most 3:"), (3, "closing:")])
def test_pain_over_its_limit_is_said_beside_a_likely_outlook(pain: int, words: str) -> None:
    seen = {"kind": "flapper", "stage": "closing", "pain": pain, "pain_limit": 3, "p_sound": 0.94}
    found = said(Reason("tear", "R-ring-base", cast.in_march(15), seen), "tight")
    assert f"{words} likely sound by then, looks decide." in found


@pytest.mark.parametrize("code", ["air", "dryness"])
def test_with_no_step_left_it_is_settled_by_its_day(code: str) -> None:
    entry = replace(cast.entry("tight"), deadlines=())
    found = reasons.reason(Reason(code, None, cast.in_march(19)), entry, cast.AS_OF).plain
    assert found.endswith("Settle it by Fri 19.") and "today" not in found


def test_drier_air_is_answered_by_the_cream_and_never_by_a_first_use() -> None:
    cream = Deadline("soften-start", cast.AS_OF, cast.in_march(14), 3, "open", "deadline.soften-start")
    first_use = Deadline("agent-first-use", cast.AS_OF, cast.in_march(12), 1, "due", "deadline.agent")
    entry = replace(cast.entry("tight"), deadlines=(first_use, cream))
    dry = Reason("air", None, cast.in_march(14), {"dew_point_difference_c": -8.0})
    assert reasons.reason(dry, entry, cast.AS_OF).plain.endswith("below home. Start the cream by Sun 14.")


def test_silence_is_asked_by_voice_today() -> None:
    assert said(Reason("silence", None, cast.AS_OF, {"days": 5}), "not-known") == (
        "No answer for 5 days; the range widens each day. Ask by voice today."
    )


def test_the_wedge_stands_on_the_bold_date() -> None:
    entry = cast.entry()
    assert actions.acts_on(cast.crease_split(), entry, cast.AS_OF) == cast.in_march(15)
    assert actions.acts_on(Reason("silence"), entry, cast.AS_OF) == cast.AS_OF
    assert actions.acts_on(
        cast.crease_split(), replace(entry, level="out-of-reach"), cast.AS_OF
    ) == cast.in_march(18)


def test_a_date_in_another_month_carries_it() -> None:
    far = Reason("clash", None, cast.AS_OF + timedelta(days=30), {"days_apart": 6})
    entry = replace(cast.entry(), deadlines=())
    assert "Sat 10 Apr" in reasons.reason(far, entry, cast.AS_OF).plain

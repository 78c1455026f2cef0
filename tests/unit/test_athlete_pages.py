"""The athlete's pages: nothing preset, nothing lost, signs of infection never overlooked. No database."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from django.contrib.messages.storage.cookie import CookieStorage
from django.http import Http404, QueryDict
from django.template.loader import render_to_string
from django.test import RequestFactory

from athletes.pages import views
from athletes.pages.asking import Asking
from athletes.pages.forms import CheckIn
from athletes.pages.today import Today as TodayPage
from athletes.pages.wards import Whom
from athletes.records.choices import SITES
from athletes.records.errors import BadInput
from athletes.records.queries import CheckInRecord, EpisodeRecord
from athletes.records.viewer import Grant, Viewer
from coaching.rules.conclusions import Today
from coaching.rules.medical import UNNAMED_SIGN
from coaching.usecases.answers import CheckInAnswers, NewDamage, NewLook
from coaching.usecases.record_checkin import StoredCheckIn
from coaching.usecases.shown import CheckInForm, TodayList
from tests import shown_cast as cast

ATHLETE = Viewer(1, 1, cast.AS_OF, (Grant("athlete", None, 7),))
BEFORE = CheckInRecord(cast.in_march(10), None, 2, 8, 4, None, None, None, False, (), (), None, "")
EPISODE = EpisodeRecord("ep1", cast.CREASE, "split", "deep", cast.in_march(7), "open", cast.in_march(10))


def asked(already: CheckInRecord | None = None) -> CheckInForm:
    return CheckInForm("a01", "Adaeze", cast.AS_OF, already, BEFORE, (EPISODE,), "right")


def sent(**values: str | list[str]) -> QueryDict:
    found = QueryDict(mutable=True)
    found["day"] = "2027-03-11"
    for name, value in values.items():
        found.setlist(name.replace("__", "-"), value if isinstance(value, list) else [value])
    return found


def page(form: CheckIn, already: CheckInRecord | None = None) -> str:
    shown = {"asking": Asking(asked(already), form), "whom": Whom(ATHLETE, None), "here": "check-in"}
    return render_to_string("athletes/check_in.html", shown)


def post(
    data: QueryDict, monkeypatch: pytest.MonkeyPatch, outcome: Any = None, already: CheckInRecord | None = None
) -> tuple[Any, list[CheckInAnswers]]:
    stored: list[CheckInAnswers] = []

    def record(viewer: Viewer, code: str, answers: CheckInAnswers) -> StoredCheckIn:
        if isinstance(outcome, Exception):
            raise outcome
        stored.append(answers)
        return StoredCheckIn(answers.day, bool(outcome))

    monkeypatch.setattr(views, "checkin_form", lambda viewer, code: asked(already))
    monkeypatch.setattr(views, "record_checkin", record)
    request = RequestFactory().post("/me/check-in", data.urlencode(), "application/x-www-form-urlencoded")
    request.viewer, request._messages = ATHLETE, CookieStorage(request)  # type: ignore[attr-defined]
    response = views.check_in(request)
    response.said = " ".join(str(one) for one in request._messages)  # type: ignore[attr-defined]
    return response, stored


def test_nothing_is_preset_and_yesterday_is_a_ring_with_its_day() -> None:
    html = page(CheckIn(asked()))
    assert " checked" not in html
    assert html.count('<small class="was-on">Wed 10</small>') == 4  # reserve, dampness, agent, stage


def test_safety_is_never_remembered() -> None:
    infected = Asking(asked(), CheckIn(asked())).infected
    assert [segment.was for segment in infected.segments] == ["", ""]
    assert "Something looks infected" in page(CheckIn(asked()))


def test_four_taps_are_a_whole_check_in(monkeypatch: pytest.MonkeyPatch) -> None:
    response, stored = post(sent(reserve="6", dampness="4", agent_used="no", infected="no"), monkeypatch)
    assert (response.status_code, response["Location"]) == (302, "/me/today")
    said = CheckInAnswers(cast.AS_OF, 2, reserve=6, dampness=4, agent_used=False, marks=(), red_flags=())
    assert stored == [said]


def test_signs_passed_over_are_not_answered_with_none(monkeypatch: pytest.MonkeyPatch) -> None:
    _response, (answers,) = post(sent(reserve="6"), monkeypatch)
    assert answers.red_flags is None


def test_infection_without_a_sign_is_stored_and_asks_for_the_sign(monkeypatch: pytest.MonkeyPatch) -> None:
    response, (answers,) = post(sent(infected="yes", note="hot"), monkeypatch)
    assert response.status_code == 302 and answers.note == f"hot\n{UNNAMED_SIGN}"
    assert answers.red_flags is None  # not "none of these": nothing sent before may fall away
    assert "A doctor today." in response.said


def test_signs_that_stay_are_said_to_stay(monkeypatch: pytest.MonkeyPatch) -> None:
    first = replace(BEFORE, local_date=cast.AS_OF, red_flags=("streak",))
    response, _stored = post(sent(infected="no"), monkeypatch, already=first)
    assert "stay until a medical person has looked" in response.said


def test_marks_damage_and_looks_arrive_as_answers(monkeypatch: pytest.MonkeyPatch) -> None:
    data = sent(
        marks=["L-index-tip=pink"], damage=["L-ring-middle=flapper"], deep=["L-ring-middle"],
        stage__ep1="closing", opens__ep1="no", pain__ep1="3", infected="yes",
        red_flags=["warmth", "pus"], seconds_taken="21",
    )  # fmt: skip
    _response, (answers,) = post(data, monkeypatch)
    assert answers.marks == (("L-index-tip", "pink"),) and answers.red_flags == ("warmth", "pus")
    assert answers.new_damage == (NewDamage("L-ring-middle", "flapper", "deep"),)
    assert answers.looks == (NewLook("ep1", "closing", 3, False),) and answers.seconds == 21


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (sent(reserve="11"), "Choose one of 0, 2, 4, 6, 8 and 10."),
        (sent(reserve="nan"), "Choose one of 0, 2, 4, 6, 8 and 10."),
        (sent(), "Nothing is answered yet."),
        (sent(infected="no", red_flags=["pus"]), "Take away one of the two."),
        (sent(pain__ep1="4"), "the stage is missing"),
        (sent(reserve="4", marks=["L-thumb-middle=pink"]), "not one that can be given there"),
        (sent(reserve="4", day="31 March"), "The day is not a date."),
    ],
)
def test_a_wrong_answer_stores_nothing_and_says_what_to_do(
    data: QueryDict, words: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    response, stored = post(data, monkeypatch)
    assert response.status_code == 422 and stored == []
    assert words in response.content.decode()


def test_nothing_typed_is_lost_on_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    data = sent(
        reserve="11",
        dampness="4",
        marks=["L-index-tip=pink"],
        note="tape <b>came</b> off",
        stage__ep1="rimmed",
    )
    html = post(data, monkeypatch)[0].content.decode()
    assert 'name="dampness" value="4" checked' in html and 'value="L-index-tip=pink" checked' in html
    assert "tape &lt;b&gt;came&lt;/b&gt; off</textarea>" in html and 'value="rimmed" checked' in html
    assert "left index, tip pad: pink" in html and 'href="#ask-reserve"' in html


def test_a_refusal_of_the_records_is_shown_at_its_field(monkeypatch: pytest.MonkeyPatch) -> None:
    refused = BadInput("reserve", "is over 10", 11, "use 0 to 10")
    response, _stored = post(sent(reserve="4"), monkeypatch, refused)
    assert response.status_code == 422
    assert "reserve: is over 10. Use 0 to 10." in response.content.decode()


def test_a_second_check_in_shows_the_first_and_says_it_corrects_it() -> None:
    html = page(CheckIn(asked()), BEFORE)
    assert "Already sent today" in html and "reserve 8 of 10" in html and "Sending again corrects it" in html


def test_a_correction_keeps_signs_and_marks_ticked_until_somebody_unticks_them() -> None:
    first = replace(BEFORE, local_date=cast.AS_OF, marks=(("L-index-tip", "pink"),), red_flags=("pus",))
    html = page(CheckIn(asked(first)), first)
    assert 'value="pus" checked' in html and 'value="L-index-tip=pink" checked' in html
    assert html.count(" checked") == 2


def test_each_site_and_each_open_episode_can_be_answered() -> None:
    html = page(CheckIn(asked()))
    assert html.count('name="stage-ep1"') == 5 and html.count('name="pain-ep1"') == 11
    assert html.count('class="site"') == len(SITES)


@pytest.mark.parametrize("viewer", [None, Viewer(1, 1, cast.AS_OF, (Grant("manager", 3),))])
@pytest.mark.parametrize("view", [views.check_in, views.today])
def test_strangers_meet_no_page(view: Any, viewer: Viewer | None) -> None:
    request = RequestFactory().get("/me/today")
    request.viewer = viewer  # type: ignore[attr-defined]
    with pytest.raises(Http404):
        view(request)


def today(**changes: object) -> str:
    row = cast.athlete(**changes)
    found = TodayList(row, False, (), row.steps, row.steps, cast.deadlines()[1:3])
    shown = {"today": TodayPage(found), "whom": Whom(ATHLETE, None), "here": "today"}
    return render_to_string("athletes/today.html", shown)


def test_todays_list_has_the_verdict_first_then_the_step_with_its_caution() -> None:
    html = today()
    assert "<h1>May climb, but not those holds.</h1>" in html and "Leave out: crimps and pockets." in html
    assert '<p class="beware">Not over a dirty wound.</p>' in html and "<summary>practice</summary>" in html
    assert "Instead: fan, shade." in html and "not yet: today counts as not known" in html


def test_todays_list_puts_the_doctor_before_everything() -> None:
    html = today(medical="today", today=Today("medical"), steps=())
    assert html.index("A doctor looks at it today.") < html.index("<h1>No climbing.</h1>")
    assert "No steps today." in html

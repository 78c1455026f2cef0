"""The Rules page, a club's change of a rule, and a pause overruled: who may, what it does, and where it is printed."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

import pytest
import time_machine
from django.test import Client

from athletes.records import access
from athletes.records.errors import BadInput
from athletes.records.models import Account, Athlete, Care, CheckIn, Entry, OverruledPause, RuleChange
from coaching.rules import limits, rulebook
from coaching.usecases.event_page import event_page
from coaching.usecases.overrule_pause import overrule_pause
from coaching.usecases.recompute import drain_these
from coaching.usecases.showing import show
from coaching.usecases.shown import AthleteShown
from coaching.wording import refusals
from coaching.wording.event_sheet import sheet_of
from tests import cast, stored

SPRAY, NOTE = "methenamine spray", "tolerated last spring, team doctor asked"
PLANNED_ON = stored.TODAY + timedelta(days=2)


@pytest.fixture(autouse=True)
def _now() -> Iterator[None]:
    with time_machine.travel(stored.NOW, tick=False):
        yield


class Club:
    """One athlete with a first use of an agent planned too late, who shares everything with coach and medical."""

    def __init__(self, **profile: object) -> None:
        self.squad = stored.squad()
        self.rows = stored.athletes(["a01"], self.squad)
        Athlete.objects.update(timezone="Europe/Vienna", **profile)
        for role in ("head-coach", "assistant", "medical"):
            stored.share(self.rows, role=role)
        CheckIn.objects.create(athlete=self.rows[0], local_date=stored.TODAY, reserve=6, dampness=5, sting=1)
        planned = {"status": "planned", "verb": "dry", "form": SPRAY, "part": "night"}
        Care.objects.create(athlete=self.rows[0], local_date=PLANNED_ON, **planned)
        self.event = stored.event()
        Entry.objects.create(event=self.event, athlete=self.rows[0])
        self.compute()

    def compute(self) -> None:
        from coaching.ledger import staleness  # the mark that a stored fact would set

        staleness.raise_for([self.rows[0].id], stored.NOW)
        assert drain_these([self.rows[0].id]) == 1

    def seen_by(self, role: str) -> AthleteShown:
        over = self.rows if role in ("athlete", "guardian") else ()
        return self.seen(stored.login(role, self.squad, over))

    def seen(self, account: Account) -> AthleteShown:
        viewer = access.viewer_for(account, stored.TODAY)
        return show(viewer, [access.athlete_by_code(viewer, "a01")])[0]


def client(account: Account) -> Client:
    found = Client()
    found.force_login(account)
    return found


@pytest.mark.django_db
def test_every_entry_is_printed_with_its_source_and_every_contradiction_is_shown() -> None:
    page = client(stored.login("head-coach", stored.squad())).get("/rules").content.decode()
    book = rulebook.current()
    for anchor in [one.rule for one in (*book.forms.values(), *book.deadlines.values())]:
        assert page.count(f'id="{anchor}"') == 1
    assert page.count("common practice, no source") >= len(book.practice)
    assert all(f'id="contradiction.{name}"' in page for name in book.contradictions) and len(book.contradictions) == 20
    assert "Change the rule" in page


@pytest.mark.django_db
def test_the_page_is_not_there_for_athletes_and_the_form_not_for_assistants() -> None:
    squad = stored.squad()
    rows = stored.athletes(["a01"], squad)
    assert client(stored.login("athlete", squad, rows)).get("/rules").status_code == 404
    helper = client(stored.login("assistant", squad))
    assert "Change the rule" not in helper.get("/rules").content.decode()
    assert helper.post("/rules", {"what": "deadline.look:days", "value": "2 3"}).status_code == 404


def sent(**said: str) -> dict[str, str]:
    day = stored.TODAY.isoformat()
    usual = {"what": "dry.methenamine-spray:no_first_use_days", "value": "7", "from_day": day, "reason": "own record"}
    return usual | said


@pytest.mark.django_db
def test_a_change_is_stored_printed_and_moves_what_is_refused() -> None:
    club = Club()
    assert [(one.class_, one.cause) for one in club.seen_by("head-coach").refused] == [("timing", "first-use")]
    coach = client(stored.login("head-coach", club.squad))
    assert coach.post("/rules", sent()).status_code == 302
    assert RuleChange.objects.get().reason == "own record"
    club.compute()
    seen = club.seen_by("head-coach")
    assert seen.refused == () and seen.rulebook != rulebook.current().version
    assert "own record" in coach.get("/rules").content.decode()


@pytest.mark.django_db
@pytest.mark.parametrize(
    "said",
    [
        {"reason": " "},
        {"value": "3"},
        {"value": "many"},
        {"from_day": "2027-03-10"},
        {"from_day": "soon"},
        {"what": "dry.methenamine-spray:caution", "value": "harmless, use as you like"},
        {"what": "dry.methenamine-spray:minimum_age", "value": "8"},
        {"what": "dry.tea:how", "value": "x" * 40},
        {"what": ""},
    ],
)
def test_what_no_club_may_change_is_refused_with_words(said: dict[str, str]) -> None:
    answer = client(stored.login("head-coach", stored.squad())).post("/rules", sent(**said))
    assert answer.status_code == 422 and 'role="alert"' in answer.content.decode()
    assert not RuleChange.objects.exists()


@pytest.mark.django_db
@pytest.mark.parametrize("role", ["head-coach", "medical"])
def test_a_pause_overruled_becomes_a_step_that_names_who_and_why(role: str) -> None:
    club = Club()
    who = stored.login(role, club.squad)
    page = client(who).get("/athletes/a01").content.decode()
    assert "Overrule this pause" in page and "#dry.methenamine-spray" in page
    said = {"form": SPRAY, "day": PLANNED_ON.isoformat(), "note": NOTE}
    assert client(who).post("/athletes/a01/overrule", said).status_code == 302
    club.compute()
    seen = club.seen(who)
    assert seen.refused == () and [one.note for step in seen.steps for one in step.overruled] == [NOTE]
    assert NOTE in client(who).get("/athletes/a01").content.decode()
    sheet = sheet_of(event_page(access.viewer_for(who, stored.TODAY), "lindmark-cup"))
    assert any(NOTE in row.call_note and who.person.name in row.call_note for row in sheet.rows)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("profile", "day", "note"),
    [
        ({}, PLANNED_ON, "  "),
        ({}, PLANNED_ON + timedelta(days=1), NOTE),
        ({"sensitivities": ["formaldehyde"]}, PLANNED_ON, NOTE),
        ({"birth_date": date(2012, 1, 1)}, PLANNED_ON, NOTE),
        ({"contraindications": ["pregnancy"]}, PLANNED_ON, NOTE),
    ],
)
def test_without_a_note_without_a_pause_or_at_a_hard_stop_nothing_is_overruled(
    profile: dict[str, object], day: date, note: str
) -> None:
    club = Club(**profile)
    viewer = access.viewer_for(stored.login("medical", club.squad), stored.TODAY)
    with pytest.raises(BadInput):
        overrule_pause(viewer, "a01", {"form": SPRAY, "day": day, "note": note})
    assert not OverruledPause.objects.exists()


@pytest.mark.django_db
@pytest.mark.parametrize("role", ["athlete", "manager"])
def test_others_overrule_nothing(role: str) -> None:
    club = Club()
    who = stored.login(role, club.squad, club.rows if role == "athlete" else ())
    said = {"form": SPRAY, "day": PLANNED_ON.isoformat(), "note": NOTE}
    assert client(who).post("/athletes/a01/overrule", said).status_code == 404
    assert not OverruledPause.objects.exists()


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("profile", "class_"),
    [({"sensitivities": ["formaldehyde"]}, "allergy"), ({"contraindications": ["pregnancy"]}, "medical")],
)
def test_the_coach_sees_that_it_is_not_allowed_and_the_others_why(profile: dict[str, object], class_: str) -> None:
    """Judgement: the cause is the athlete's and the medical person's to know."""
    club = Club(**profile)
    for role in ("medical", "athlete"):
        found = [one for one in club.seen_by(role).refused if one.hard]
        assert [(one.class_, one.rule) for one in found] == [(class_, "dry.methenamine-spray")]
    for role in ("head-coach", "assistant"):
        found = [one for one in club.seen_by(role).refused if one.hard]
        assert [(one.class_, one.rule) for one in found] == [("medical", "")]
        assert "not allowed: this group" in str(refusals.refused(found, stored.TODAY))


@pytest.mark.django_db
def test_a_minors_guardian_is_told_the_cause() -> None:
    club = Club(sensitivities=["formaldehyde"], birth_date=date(2012, 1, 1))
    assert {one.class_ for one in club.seen_by("guardian").refused} == {"allergy", "age", "timing"}
    assert {one.class_ for one in club.seen_by("head-coach").refused} == {"medical", "age", "timing"}


@pytest.mark.django_db
def test_a_last_day_that_moved_overnight_is_told_with_its_cause() -> None:
    """The event was put off by two days since yesterday's conclusion."""
    club = Club()
    with time_machine.travel(stored.NOW + timedelta(days=1), tick=False):
        put_off = club.event.first_day + timedelta(days=2)
        type(club.event).objects.update(first_day=put_off, last_day=put_off)
        club.compute()
        viewer = access.viewer_for(stored.login("head-coach", club.squad), stored.TODAY + timedelta(days=1))
        (entry,) = show(viewer, [access.athlete_by_code(viewer, "a01")])[0].entries
    moved = {one.kind: (one.was, one.moved_by) for one in entry.deadlines if one.was}
    assert moved["even-last"] == (club.event.first_day - timedelta(days=2), "event")


def test_every_limit_and_every_deadline_leads_to_an_entry_of_the_rulebook() -> None:
    """From any date in two taps to why: the link beside it names an anchor of the Rules page."""
    book = rulebook.current()
    anchors = {one.rule for one in (*book.forms.values(), *book.deadlines.values())}
    told = [limits.REST, limits.TRY, limits.EVE, limits.TAPE, limits.ROUGH, "deadline.look"]
    assert set(told) <= anchors
    damaged = cast.split(cast.day("5-30"), "L-index-tip")
    entry = cast.entry(cast.day("6-12"), styles=("crack", "crimp"), entry_deadline=cast.at("6-10", 12))
    facts = cast.athlete(cast.day("6-1"), entries=(entry,), episodes=(damaged,), skin_kind="damp", age_years=17)
    found = cast.concluded(facts, cast.numbers(cast.chance(0.5)), cast.day("6-1"))
    dates = [*found.limits, *cast.first(found).deadlines]
    assert len(dates) > 8 and {one.rule for one in dates} <= anchors

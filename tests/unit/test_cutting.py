"""Nothing of a class that is not shared leaves the house: one athlete with a telltale for every field, every
combination of shared classes, and a search of every byte that is sent.

Which class a field belongs to is a judgement; where it rests on two classes it needs both.
"""

from __future__ import annotations

import html
import json
from dataclasses import replace
from datetime import date
from itertools import combinations
from typing import Any

import pytest
import time_machine
from django.test import Client

from athletes.records import choices
from athletes.records.models import CheckIn, Damage
from athletes.records.viewer import Grant, Viewer
from coaching.ledger.codec import plain
from coaching.rules.conclusions import Deadline, Fallback, Limit, Reason, Refusal, Step, Today
from coaching.usecases.cutting import TodayWithheld, cut
from coaching.usecases.shown import AthleteShown, CareRun, DamageShown, LoadDay, MarkShown
from coaching.wording import reasons, verdicts
from coaching.wording.sites import site
from tests import shown_cast as cast
from tests import stored

SPLIT, PINK, GLOSS = "R-ring-middle-crease", "L-little-base", "L-thumb-back"
COMBINATIONS = [c for n in range(6) for c in combinations(choices.DATA_CLASSES, n)]
NOTE = "quartz-heron-note"
LOOK_ON, PINK_ON, SILENT_ON = date(2027, 4, 16), date(2027, 4, 13), date(2027, 2, 4)

REASONS = (
    Reason("medical", SPLIT, cast.in_march(11), {"grade": "emergency", "flags": 7, "first_flag": "clear-blisters"}),
    Reason("silence", None, cast.in_march(11), {"days": 3, "known_until": "2027-03-08"}),
    Reason("split", SPLIT, LOOK_ON, {"stage": "rimmed", "pain": 8.015625, "pain_limit": 3.125, "p_usable": 0.4375}),
    Reason("pink", PINK, PINK_ON, {"effect": 0.0625, "sites": 1}),
    Reason("reserve", SPLIT, cast.in_march(14), {"reserve": 3.375, "usual": 8.625}),
    Reason("agent", None, cast.in_march(12), {"form": "iontophoresis", "class": "allergy", "rows": 2}),
    Reason("agent", None, cast.in_march(12), {"form": "aluminium salt", "class": "open-skin", "rows": 2}),
    Reason("deadline", SPLIT, cast.in_march(17), {"kind": "taped-try", "form": "taped try", "state": "open"}),
    Reason("deadline", PINK, PINK_ON, {"kind": "look", "form": None, "state": "open"}),
    Reason("deadline", None, cast.in_march(19), {"kind": "soften-start", "form": "wax balm", "state": "open"}),
    Reason("deadline", None, cast.in_march(14), {"kind": "medical-signoff", "form": "methenamine cream"}),
    Reason("deadline", None, cast.in_march(18), {"kind": "entry", "form": None, "state": "open"}),
)
DEADLINES = (
    Deadline("look", cast.in_march(13), LOOK_ON, 5, "open", "deadline.look", site=SPLIT),
    Deadline("look", cast.in_march(12), PINK_ON, 2, "due", "deadline.look", site=PINK),
    Deadline("taped-try", None, cast.in_march(17), 6, "open", "deadline.taped-try", if_="look:2027-03-17", site=SPLIT),
    Deadline("even-last", None, cast.in_march(15), 4, "open", "deadline.even-last", if_="look:2027-03-14", site=SPLIT),
    Deadline("medical-signoff", None, cast.in_march(14), 3, "open", "deadline.signoff", form="methenamine cream"),
    Deadline("entry", None, cast.in_march(18), 7, "open", "deadline.entry", at="2027-03-18T18:00:00+01:00"),
)
FALLBACKS = (
    Fallback("protect", {"p": 0.25, "p_protected": 0.71875}),
    Fallback("later-arrival", {"days_lost": 9}),
    Fallback("stand-in", {"by": "2027-03-18T18:00:00+01:00", "p_lost": 0.46}),
)
REFUSED = (
    Refusal("dry", "methenamine liquid", "dry.allergy-rule", True, "allergy", ("fan",), cast.in_march(12)),
    Refusal("dry", "alcohol base", "dry.open-skin-rule", True, "open-skin", ("shade", "moist cover"), None),
    Refusal("mend", "thin rim", "mend.thin-rim-rule", False, "timing", ("balm in split",), None),
    Refusal("soften", "damp cloth", "soften.timing-rule", False, "timing", ("moisture spray",), None),
)
STEP = Step(cast.AS_OF, "night", "cover", "night tape", (SPLIT,), "cover.night-tape", "Loosely.", "judgement")


def whole() -> AthleteShown:
    """Distinctive values everywhere."""
    entry = replace(
        cast.entry(), reasons=REASONS, deadlines=DEADLINES, fallbacks=FALLBACKS,
        parts={"reserve": 0.15625}, episode_parts={"ep-basalt": 0.34375}, p_usual=0.90625,
    )  # fmt: skip
    damage = DamageShown("ep-basalt", SPLIT, "flapper", "deep", cast.in_march(2), "rimmed", cast.in_march(9), 6, True)
    picture = replace(
        cast.picture(),
        load=(LoadDay(cast.in_march(9), 17.375, None), LoadDay(cast.in_march(12), None, 4.875)),
        care=(
            CareRun("mend", "clip edges", cast.in_march(8), cast.in_march(9), planned=False),
            CareRun("toughen", "scrape finger sides", cast.in_march(8), cast.in_march(9), planned=True),
        ),
        damage=(damage,),
        marks=(
            MarkShown(PINK, "pink", cast.in_march(10), "athlete"),
            MarkShown(GLOSS, "glassy", cast.in_march(10), "coach"),
        ),
        silent=(SILENT_ON,),
        load_7d_slu=21.625, load_7d_percentile=0.96875, monotony=2.875, reserve_mean_pt=3.375,
        usual_reserve_pt=8.625, dampness_mean_pt=9.125, hardness_mean_pt=1.875,
    )  # fmt: skip
    return cast.athlete(
        medical="emergency", today=Today("not-those-holds", ("sloper",), (SPLIT,)), entries=(entry,),
        limits=(Limit(cast.in_march(17), "fine rock", 35, 13, "look:2027-03-17"),), steps=(STEP,), refused=REFUSED,
        picture=picture,
    )  # fmt: skip


# What tells of a class, and the classes without any one of which it must not be sent.
TELLTALES: dict[str, tuple[str, ...]] = {
    SPLIT: ("damage",),
    PINK: ("damage", "checkins"),
    GLOSS: ("damage",),
    str(site(SPLIT)): ("damage",),
    "ep-basalt": ("damage",),
    "flapper": ("damage",),
    "taped-try": ("damage",),
    "taped try": ("damage",),
    "look:2027-03-14": ("damage",),
    "2027-04-16": ("damage",),  # the look at the split
    "0.4375": ("damage",),
    "0.34375": ("damage",),
    "later-arrival": ("damage",),
    "clip edges": ("damage", "checkins"),
    "moist cover": ("damage", "checkins"),
    "thin rim": ("damage", "checkins"),
    "open-skin": ("damage", "checkins"),
    "night tape": ("damage", "checkins"),
    "sloper": ("damage", "checkins"),
    '"protect"': ("damage", "checkins"),  # the fallback; the verdict "protected" is no secret of its own
    "start protected": ("damage", "checkins"),
    "0.71875": ("damage", "checkins"),
    "fine rock": ("damage", "checkins"),
    "8.015625": ("damage", "checkins"),  # pain, which a check-in may have told
    "3.125": ("damage", "checkins"),
    "clear-blisters": ("checkins",),
    "2027-04-13": ("checkins",),  # pink, and the look at it
    "2027-02-04": ("checkins",),  # the day without an answer
    "3.375": ("checkins",),
    "8.625": ("checkins",),
    "17.375": ("checkins",),
    "4.875": ("checkins",),
    "21.625": ("checkins",),
    "2.875": ("checkins",),
    "9.125": ("checkins",),
    "1.875": ("checkins",),
    "0.15625": ("checkins",),
    "0.90625": ("checkins",),
    "0.96875": ("checkins",),
    "iontophoresis": ("checkins",),
    "aluminium salt": ("checkins",),
    "methenamine": ("checkins",),
    "wax balm": ("checkins",),
    "soften-start": ("checkins",),
    "even-last": ("checkins",),
    "damp cloth": ("checkins",),
    "scrape finger sides": ("checkins",),
}
NEVER_FOR_A_COACH = ("allergy", "this group of ingredients", NOTE)
ALWAYS = ("emergency", "0.46", "2027-03-18T18:00:00+01:00")


def hidden(shared: tuple[str, ...]) -> list[str]:
    return [tale for tale, needs in TELLTALES.items() if not set(needs) <= set(shared)]


def leaks(text: str, shared: tuple[str, ...]) -> list[str]:
    return [tale for tale in (*hidden(shared), *NEVER_FOR_A_COACH) if tale in text]


def coach() -> Viewer:
    return Viewer(1, 1, cast.AS_OF, (Grant("head-coach", 1, None),))


def cut_text(shared: tuple[str, ...], viewer: Viewer | None = None) -> str:
    found = cut(replace(whole(), shared=frozenset(shared)), viewer or coach(), 7)
    return json.dumps({**plain(found), "shared": []})


@pytest.mark.parametrize("shared", COMBINATIONS, ids="+".join)
def test_nothing_unshared_is_left_in_what_delivery_is_given(shared: tuple[str, ...]) -> None:
    assert leaks(cut_text(shared), shared) == []


def test_the_telltales_are_there_where_all_is_shared() -> None:
    """Else their absence would say nothing. Two are words of a page, the note and its kin are in the records."""
    text = cut_text(choices.DATA_CLASSES)
    words = {str(site(SPLIT)), "start protected"}
    assert [tale for tale in TELLTALES if tale not in text and tale not in words] == []


@pytest.mark.parametrize("shared", COMBINATIONS, ids="+".join)
def test_what_the_level_covers_always_stays(shared: tuple[str, ...]) -> None:
    assert [kept for kept in ALWAYS if kept not in cut_text(shared)] == []


def test_whoever_the_cause_belongs_to_reads_it() -> None:
    for grant in (Grant("athlete", None, 7), Grant("guardian", None, 7), Grant("medical", 1, None)):
        assert "allergy" in cut_text(choices.DATA_CLASSES, Viewer(1, 1, cast.AS_OF, (grant,)))
    for grant in (Grant("athlete", None, 8), Grant("guardian", None, 8), Grant("assistant", 1, None)):
        assert "allergy" not in cut_text(choices.DATA_CLASSES, Viewer(1, 1, cast.AS_OF, (grant,)))


def test_damage_alone_keeps_its_own_looks_and_not_those_at_pink_tips() -> None:
    (entry,) = cut(replace(whole(), shared=frozenset({"level", "damage"})), coach(), 7).entries
    assert [(d.kind, d.site) for d in entry.deadlines if d.kind == "look"] == [("look", SPLIT)]
    assert [r.code for r in entry.reasons] == ["medical", "silence", "split", "deadline", "deadline", "deadline"]


def seen_with(shared: tuple[str, ...], today: Today) -> AthleteShown:
    return cut(replace(whole(), today=today, shared=frozenset(shared)), coach(), 7)


@pytest.mark.parametrize(
    ("verdict", "code"), [("not-those-holds", "protected"), ("protected", "protected"), ("off", "off")]
)
def test_who_is_told_neither_answers_nor_damage_is_sent_to_ask(verdict: str, code: str) -> None:
    found = seen_with(("level", "notes"), Today(verdict, ("sloper",), (SPLIT,))).today
    assert found == TodayWithheld(code, (), ())
    assert verdicts.verdict(found) == "Ask the medical person or the coach what is allowed today"
    assert verdicts.what_it_means(found) == []


@pytest.mark.parametrize("verdict", ["free", "medical", "not-known"])
def test_a_verdict_that_tells_of_no_damage_stays_as_it_is(verdict: str) -> None:
    assert seen_with(("level",), Today(verdict)).today == Today(verdict)


@pytest.mark.parametrize("shared", ["checkins", "damage"])
def test_one_of_both_classes_keeps_the_verdict_without_its_sites(shared: str) -> None:
    for verdict in ("off", "not-those-holds"):
        assert seen_with(("level", shared), Today(verdict, ("sloper",), (SPLIT,))).today == Today(verdict)


@pytest.mark.parametrize(
    ("grade", "words"),
    [("emergency", "No climbing. Emergency department now."), ("today", "No climbing. A doctor today.")],
)
def test_without_answers_and_damage_only_the_instruction_is_said(grade: str, words: str) -> None:
    medical = Reason("medical", SPLIT, cast.AS_OF, {"grade": grade, "flags": 2, "first_flag": "pus"})
    one = replace(whole(), entries=(cast.entry(reasons=(medical,)),), medical=grade)
    found = cut(replace(one, shared=frozenset({"level"})), coach(), 7)
    said = reasons.reason(found.entries[0].reasons[0], found.entries[0], cast.AS_OF).plain
    assert (found.medical, said) == (grade, words)
    assert verdicts.medical_advice(grade, told=False) == [words.removeprefix("No climbing. ")]


@pytest.mark.parametrize("shared", ["checkins", "damage"])
def test_with_answers_a_sign_is_said_to_be_one(shared: str) -> None:
    """Damage alone does not tell that a sign was answered; answers do, without where it is."""
    (entry,) = cut(replace(whole(), shared=frozenset({"level", shared})), coach(), 7).entries
    said = reasons.reason(entry.reasons[0], entry, cast.AS_OF).plain
    assert "A sign was named that only a doctor may judge." in said


@pytest.fixture
def asked() -> Any:
    with time_machine.travel(stored.NOW, tick=False):
        squad = stored.squad()
        rows = stored.athletes(["a1"], squad)
        stored.conclude(rows, stored.event(), whole())
        CheckIn.objects.create(athlete=rows[0], local_date=cast.AS_OF, reserve=3, note=NOTE)
        told = {"site": SPLIT, "kind": "flapper", "noticed_on": "2027-03-02", "cause": NOTE}
        Damage.objects.create(athlete=rows[0], code="ep-basalt", **told)
        client = Client()
        client.force_login(stored.login("head-coach", squad))
        yield client, rows


def leaks_sent(found: dict[str, str], shared: tuple[str, ...]) -> dict[str, list[str]]:
    """As `leaks`, by path. Where damage is shared the page names every site there is, with what is known of each."""
    named = {PINK} if "damage" in shared else set()
    told = {path: leaks(text, shared) for path, text in found.items()}
    return {path: rest for path, tales in told.items() if (rest := [t for t in tales if t not in named])}


def sent(client: Client) -> dict[str, str]:
    paths = ("/morning", "/athletes/a1", "/api/v1/athletes", "/api/v1/athletes/a1/entries")
    answers = {path: client.get(path) for path in paths}
    return {path: f"{a.status_code} {html.unescape(a.content.decode())}" for path, a in answers.items()}


@pytest.mark.django_db
@pytest.mark.parametrize("shared", COMBINATIONS, ids="+".join)
def test_nothing_unshared_is_sent_by_any_page_or_door(asked: Any, shared: tuple[str, ...]) -> None:
    client, rows = asked
    stored.share(rows, shared)
    found = sent(client)
    assert leaks_sent(found, shared) == {}
    one = "200" if "level" in shared else "404"
    assert [found[path][:3] for path in found] == ["200", one, "200", one]
    assert ("Athlete a1" in found["/morning"]) is ("level" in shared)


@pytest.mark.django_db
def test_the_pages_and_doors_do_send_what_is_shared(asked: Any) -> None:
    client, rows = asked
    stored.share(rows)
    everything = " ".join(sent(client).values())
    seen = [tale for tale in TELLTALES if tale in everything]
    assert {SPLIT, PINK, str(site(SPLIT)), "flapper", "clear-blisters", "iontophoresis"} <= set(seen)
    assert len(seen) > len(TELLTALES) / 2  # the others are drawn, rounded or told in other words


@pytest.mark.django_db
def test_an_emergency_is_said_to_be_one_where_only_the_level_is_shared(asked: Any) -> None:
    """The grade is of the level; cut with the answers behind it, it would read as a milder one."""
    client, rows = asked
    stored.share(rows, ["level"])
    found = sent(client)
    assert "Emergency department" in found["/morning"] and "Emergency department" in found["/athletes/a1"]
    assert '"grade":"emergency"' in found["/api/v1/athletes/a1/entries"]


@pytest.mark.django_db
def test_a_site_that_only_a_check_in_told_of_is_drawn_as_unmarked(asked: Any) -> None:
    client, rows = asked
    line = f'<tr id="site-{PINK}"><th scope="row">{site(PINK)}</th><td>'
    stored.share(rows, ["level", "damage"])
    assert line + "nothing marked" in sent(client)["/athletes/a1"]
    stored.share(rows, ["checkins"])
    assert line + "pink" in sent(client)["/athletes/a1"]


@pytest.mark.django_db
@pytest.mark.parametrize("closed", ["checkins", "damage"])
def test_a_class_withdrawn_is_gone_from_the_next_request(asked: Any, closed: str) -> None:
    client, rows = asked
    stored.share(rows)
    kept = tuple(c for c in choices.DATA_CLASSES if c != closed)
    assert {"/morning", "/athletes/a1", "/api/v1/athletes/a1/entries"} >= set(leaks_sent(sent(client), kept)) != set()
    stored.withdraw(data_class=closed)
    assert leaks_sent(sent(client), kept) == {}


@pytest.mark.django_db
def test_a_level_withdrawn_takes_the_athlete_off_every_list(asked: Any) -> None:
    client, rows = asked
    stored.share(rows)
    assert sent(client)["/athletes/a1"].startswith("200")
    stored.withdraw(data_class="level")
    after = sent(client)
    assert [after[path][:3] for path in after] == ["200", "404", "200", "404"]
    assert not any("Athlete a1" in text for text in after.values())

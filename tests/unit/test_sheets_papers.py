"""Papers to hand over, read back as PDF: the card for a doctor, four weeks, the trip's pack, contacts, cards between
rounds. What is not shared is nowhere in them, and what is kept from a coach stays kept on paper.
"""

from __future__ import annotations

import csv
import io
import re
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import time_machine
from django.db import transaction
from django.test import Client
from pypdf import PdfReader

from athletes.records import emergency
from athletes.records.models import (
    AccessLog,
    Athlete,
    Care,
    CheckIn,
    Club,
    Damage,
    Entry,
    EventNote,
    Look,
    OverruledPause,
    Person,
    Role,
    Session,
    Sighting,
    Squad,
)
from coaching.sheets.paper import paper_pdf
from coaching.sheets.paper_values import Line, Paper, PaperPage, Part, Table
from coaching.sheets.values import SpotOnHand
from tests import event_cast as events
from tests import stored
from tests.unit.test_sheets_event_sheet import elements, tags, text

CARD, SUMMARY, OWN = "/athletes/a01/hand-over.pdf", "/athletes/a01/summary.pdf", "/me/hand-over.pdf"
PACK, CONTACTS, CARDS = (f"/events/lindmark-cup/{name}.pdf" for name in ("trip-pack", "contacts", "cards"))
WORDS = {"left": "left hand", "right": "right hand", "page": "page %(n)s of %(of)s"}
TOLD = {
    "damage": ("left ring, tip pad", "7 by 2 mm", "gapes", "the same place was hurt before"),
    "checkins": ("Named on", "soften: wax balm", "mild reaction"),
}
NOTES = {"damage": ("CAUSEWORD", "SEENWORD"), "checkins": ("NOTEWORD",)}
"""What each class lets on; own words need `notes` beside the class they are about."""


@pytest.fixture(autouse=True)
def _now() -> Iterator[None]:
    with time_machine.travel(stored.NOW, tick=False):
        yield


class Hall:
    """An adult with a fact of each class, and a minor whose guardian has a name; both in the cup."""

    def __init__(self, classes: tuple[str, ...] = (), role: str = "head-coach") -> None:
        self.squad = stored.squad()
        (self.adult,) = stored.athletes(["a01"], self.squad)
        (self.minor,) = stored.athletes(["m01"], self.squad, stored.MINOR)
        Athlete.objects.filter(code="a01").update(sensitivities=["rosin"], contraindications=["heart"])
        self.event = stored.event()
        stored.conclude([self.adult, self.minor], self.event)
        stored.share([self.adult, self.minor], classes or ("level",), role=role)
        self.viewer = stored.login(role, self.squad)
        self.facts()
        guard = Person.objects.create(code="g1", name="Guardian Name")
        Role.objects.create(person=guard, role="guardian", athlete=self.minor)

    def facts(self) -> None:
        told = {"athlete": self.adult, "site": "L-ring-tip", "kind": "split"}
        old = Damage.objects.create(code="old", noticed_on=stored.TODAY - timedelta(days=60), **told)
        Look.objects.create(damage=old, local_date=stored.TODAY - timedelta(days=50), stage="sound")
        now = Damage.objects.create(
            code="now", noticed_on=stored.TODAY - timedelta(days=4), depth="deep", length_mm=7, width_mm=2,
            cause="CAUSEWORD", worries=["gaping"], **told,
        )  # fmt: skip
        Look.objects.create(damage=now, local_date=stored.YESTERDAY, stage="open", pain=5, opens_on_pull=True)
        day = {"athlete": self.adult, "local_date": stored.YESTERDAY}
        CheckIn.objects.create(**day, reserve=4, note="NOTEWORD", red_flags=["throbbing"])
        Care.objects.create(**day, status="done", verb="soften", form="wax balm", reaction="mild")
        Care.objects.create(**day, status="planned", verb="soften", form="humectant cream")
        Session.objects.create(**day, planned=False, surface="plastic", minutes=90)
        Sighting.objects.create(**day, by="coach", marks=[], note="SEENWORD")


def client(account: Any) -> Client:
    found = Client()
    found.force_login(account)
    return found


def asked(account: Any, path: str) -> PdfReader:
    answer = client(account).get(path)
    assert answer.status_code == 200 and answer["Content-Type"] == "application/pdf", path
    assert "no-store" in answer["Cache-Control"]
    return PdfReader(io.BytesIO(answer.content))


def said(account: Any, path: str) -> str:
    return text(asked(account, path))


@pytest.mark.django_db
@pytest.mark.parametrize(
    "classes", [("level",), ("level", "damage"), ("level", "checkins"), ("level", "damage", "notes"),
                ("level", "checkins", "notes"), ("level", "damage", "checkins", "notes", "photos")],
)  # fmt: skip
@pytest.mark.parametrize("path", [CARD, SUMMARY])
def test_a_class_that_is_not_shared_is_nowhere_on_paper(classes: tuple[str, ...], path: str) -> None:
    found = said(Hall(classes).viewer, path)
    raw = client_bytes(path)
    for name, words in TOLD.items():
        if path == CARD:
            assert [word in found for word in words] == [name in classes] * len(words), name
        open_to = {name, "notes"} <= set(classes)
        for word in NOTES[name]:
            if path == CARD:
                assert (word in found) == open_to, word
            elif word != "CAUSEWORD":
                assert word not in found
    assert ("not shared" in found) == (set(classes) != {"level", "damage", "checkins", "notes", "photos"})
    assert "left ring" in found if "damage" in classes else "left ring" not in found and "L-ring" not in raw
    assert "rosin" not in found and "heart" not in found  # kept from coaches, whatever else is shared


def client_bytes(path: str) -> str:
    """Everything that could be read in the file, alternative texts and names included."""
    account = Role.objects.filter(role="head-coach").get().person.account
    reader = PdfReader(io.BytesIO(client(account).get(path).content))
    alts = [str(one.get("/Alt", "")) for one in elements(reader.trailer["/Root"]["/StructTreeRoot"])]
    return " ".join([*alts, *(page.extract_text() for page in reader.pages), str(reader.metadata)])


@pytest.mark.django_db
def test_what_the_athlete_reacts_to_is_told_to_medical_people_and_to_themselves() -> None:
    hall = Hall(("level", "checkins"), role="medical")
    assert "rosin (colophony)" in said(hall.viewer, CARD) and "heart trouble" in said(hall.viewer, CARD)
    own = said(stored.login("athlete", None, [hall.adult]), OWN)
    assert "rosin (colophony)" in own and "NOTEWORD" in own and "CAUSEWORD" in own and "not shared" not in own


@pytest.mark.django_db
def test_without_check_ins_a_medical_person_is_not_told_what_the_athlete_reacts_to() -> None:
    found = said(Hall(("level", "damage"), role="medical").viewer, CARD)
    assert "rosin" not in found and "not shown to whoever printed this; ask" in found


@pytest.mark.django_db
@pytest.mark.parametrize("path", [CARD, SUMMARY])
def test_a_manager_finds_neither_card_nor_summary(path: str) -> None:
    hall = Hall(("level", "damage", "checkins", "notes"), role="manager")
    theirs, nobodys = (client(hall.viewer).get(p) for p in (path, path.replace("a01", "no-such")))
    assert (theirs.status_code, theirs.content) == (404, nobodys.content)


@pytest.mark.django_db
def test_a_guardian_prints_the_card_of_the_ward_and_of_nobody_else() -> None:
    hall = Hall()
    guardian = stored.login("guardian", None, [hall.minor])
    assert "Athlete m01" in said(guardian, OWN + "?for=m01")
    assert client(guardian).get(OWN + "?for=a01").status_code == 404


@pytest.mark.django_db
@pytest.mark.parametrize(("path", "what"), [(CARD, "hand-over"), (SUMMARY, "summary"), (PACK, "trip-pack")])
def test_the_athlete_is_told_who_printed_what(path: str, what: str) -> None:
    hall = Hall()
    asked(hall.viewer, path)
    row = AccessLog.objects.get()
    assert (row.what, row.person) == (what, hall.viewer.person_id)
    page = client(stored.login("athlete", None, [hall.adult])).get("/me/who-looked").content.decode()
    assert "printed" in page and hall.viewer.person.name in page


@pytest.mark.django_db
def test_the_card_is_one_page_in_the_order_in_which_a_doctor_reads() -> None:
    hall = Hall(("level", "damage", "checkins", "notes", "photos"))
    reader = asked(hall.viewer, CARD)
    found = text(reader)
    order = [
        "For the doctor: Athlete a01", "As known at Thu 11 Mar 2027", "nobody has diagnosed anything", "Age: 23 years",
        "What is open, and since when", "since Sun 7 Mar, 4 days", "deep, 7 by 2 mm", "how it came: CAUSEWORD",
        "open, pain 5 of 10, opens on a pull", "Signs to look for", "Named on Wed 10 Mar: throbbing",
        "redness that spreads", "Done in the last 28 days", "wax balm: 1 time", "What is asked",
        "May it be loaded?", "Skin only, not a medical clearance.", "page 1 of 1",
    ]  # fmt: skip
    places = [found.index(words) for words in order]
    assert places == sorted(places) and len(reader.pages) == 1
    assert "humectant" not in found  # planned is not done


@pytest.mark.django_db
@pytest.mark.parametrize("path", [CARD, SUMMARY, PACK, CONTACTS, CARDS])
def test_each_is_tagged_titled_grey_a4(path: str) -> None:
    """PDF/UA-1 (ISO 14289-1, clauses 5 and 7.1), A4 (ISO 216), one part a colour space (ISO 32000-1, 8.6.5.5)."""
    reader = asked(Hall(("level", "damage", "checkins")).viewer, path)
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] == True and root["/Lang"] == "en"  # noqa: E712 - a boolean object of the reader
    assert "<pdfuaid:part>1</pdfuaid:part>" in root["/Metadata"].get_data().decode()
    assert root["/ViewerPreferences"]["/DisplayDocTitle"] == True  # noqa: E712
    assert tags(reader).count("/H1") == len(reader.pages) and reader.metadata is not None and reader.metadata.title
    for page in reader.pages:
        assert (round(float(page.mediabox.width)), round(float(page.mediabox.height))) == (595, 842)
        spaces = page["/Resources"].get("/ColorSpace", {})
        assert all(space[1]["/N"] == 1 for space in spaces.values())
        assert not re.search(rb"\s(?:rg|RG|k|K)\b", page.get_contents().get_data())


@pytest.mark.django_db
def test_the_summary_counts_days_by_the_verdict_that_stood_and_names_no_forecast() -> None:
    hall = Hall(("level", "damage", "checkins", "notes"))
    found = said(hall.viewer, SUMMARY)
    assert "available, protected or without some holds: 1 day" in found and "no verdict kept: 27 days" in found
    assert "plastic: 1 day, 90 minutes told" in found and "Mornings without an answer: 27 of 28" in found
    assert "Sun 7 Mar" in found and "again at this place" in found and "not sound after 3 days" in found
    assert "of 100" not in found and "Athlete a01" not in found and "By consent to: level, check-ins" in found


@pytest.mark.django_db
def test_whoever_is_told_neither_answers_nor_damage_cannot_tell_limits_from_no_load() -> None:
    found = said(Hall(("level",)).viewer, SUMMARY)
    assert "with limits, or no load; which is not shared: 1 day" in found and "protected" not in found


@pytest.mark.django_db
def test_a_squads_summary_is_a_table_and_a_page_of_each_who_shares_a_level() -> None:
    hall = Hall(("level", "damage", "checkins"))
    stored.athletes(["z09"], hall.squad)  # shares nothing
    reader = asked(hall.viewer, "/summary.pdf")
    pages = [page.extract_text() for page in reader.pages]
    assert len(pages) == 3 and "the squad" in pages[0]
    assert "1 member shares no level with you and is not listed." in " ".join(pages[0].split())
    found = " ".join(pages)
    assert "z09" not in found and "Athlete z09" not in found and "Athlete a01" not in found
    assert "a01" in pages[1] and "m01" in pages[2] and "m01" not in pages[1]
    assert "CAUSEWORD" not in found and "NOTEWORD" not in found


@pytest.mark.django_db
@pytest.mark.parametrize("classes", [("level",), ("level", "damage"), ("level", "checkins")])
def test_a_page_of_the_squads_summary_says_what_the_athletes_own_does(classes: tuple[str, ...]) -> None:
    """By each athlete's own words: the same code path would prove nothing, so pages are held against each other."""
    viewer = Hall(classes).viewer
    alone = said(viewer, SUMMARY)
    together = " ".join(asked(viewer, "/summary.pdf").pages[1].extract_text().split())
    body = " ".join(alone.split()).split("Who ", 1)[1].rsplit("Signed", 1)[0]
    assert body in together


@pytest.mark.django_db
def test_in_the_table_an_empty_cell_is_not_shared_and_never_nought() -> None:
    def row(classes: tuple[str, ...]) -> dict[str, str]:
        answer = client(Hall(classes).viewer).get("/summary.csv")
        rows = list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"))))
        assert [one["athlete"] for one in rows] == ["a01", "m01"]
        transaction.set_rollback(True)
        return rows[0]

    with transaction.atomic():
        told = row(("level", "damage", "checkins"))
    with transaction.atomic():
        bare = row(("level",))
    counted = ("problems", "problems_not_sound", "mornings_answered", "days_on")
    assert {told[name] for name in counted} == {"1"} and {bare[name] for name in counted} == {""}
    assert told["days_no_verdict"] == bare["days_no_verdict"] == "27"
    assert (told["days_modified"], bare["days_modified"], bare["days_limits_not_shared"]) == ("1", "0", "1")


@pytest.mark.django_db
def test_a_squads_summary_is_of_the_team_alone_and_read_by_name() -> None:
    manager = Hall(("level",), role="manager").viewer
    assert client(manager).get("/summary.pdf").status_code == 404
    assert client(manager).get("/summary.csv").status_code == 404


@pytest.mark.django_db
def test_the_pack_says_the_number_in_large_type_and_leaves_lines_for_what_nobody_knows() -> None:
    hall = Hall(("level", "damage", "checkins"))
    reader = asked(hall.viewer, PACK)
    found = text(reader)
    assert "112: Sweden, by the event’s time zone; check locally" in found and len(reader.pages) == 2
    # Dots are spread over the rest of the line, so a space may be read between them.
    assert re.search(r"Access: (?:\. ?){10}", found) and re.search(r"Nearest help: (?:\. ?){10}", found)
    assert "Guardian Name" not in found and "rosin" not in found
    assert "Ask: what somebody reacts to is told to medical people alone" in found and "none named" not in found
    assert sizes(reader, "112") >= 1.8 * sizes(reader, "Pharmacy")


def sizes(reader: PdfReader, word: str) -> float:
    """The largest type in which the word stands on the first page."""
    found: list[float] = []

    def visit(said: str, _cm: Any, tm: Any, _font: Any, size: float) -> None:
        if word in said:
            found.append(size * abs(tm[3]))

    reader.pages[0].extract_text(visitor_text=visit)
    return max(found)


@pytest.mark.django_db
def test_what_a_coach_wrote_of_a_place_is_in_the_pack_of_their_club_alone() -> None:
    hall = Hall(("level",))
    asker = client(hall.viewer)
    assert asker.post("/events/lindmark-cup/notes", {"kind": "access", "text": "NARROW ROAD"}).status_code == 302
    assert "Access: NARROW ROAD" in said(hall.viewer, PACK)
    assert "NARROW ROAD" in asker.get("/events/lindmark-cup").content.decode()
    other = Squad.objects.create(club=Club.objects.create(name="Other"), code="other", name="other")
    (theirs,) = stored.athletes(["o01"], other)
    Entry.objects.create(event=hall.event, athlete=theirs)
    stored.share([theirs], ("level",))
    rival = stored.login("head-coach", other)
    assert "NARROW" not in said(rival, PACK)
    assert "NARROW" not in client(rival).get("/events/lindmark-cup").content.decode()
    asker.post("/events/lindmark-cup/notes", {"kind": "access", "text": ""})
    assert "NARROW" not in said(hall.viewer, PACK) and EventNote.objects.count() == 2


@pytest.mark.django_db
def test_a_note_is_a_coachs_to_write_of_an_event_of_theirs() -> None:
    hall = Hall(("level",))
    manager = stored.login("manager", hall.squad)
    stored.share([hall.adult], ("level",), role="manager")
    told = {"kind": "help", "text": "x"}
    assert client(manager).post("/events/lindmark-cup/notes", told).status_code == 404
    assert client(hall.viewer).post("/events/no-such/notes", told).status_code == 404
    assert client(hall.viewer).post("/events/lindmark-cup/notes", {**told, "kind": "level"}).status_code == 404
    client(hall.viewer).post("/events/lindmark-cup/notes", {**told, "text": "y" * 2001})
    assert not EventNote.objects.exists()


@pytest.mark.django_db
def test_contacts_of_minors_are_a_sheet_of_their_own() -> None:
    hall = Hall(("level",))
    found = said(hall.viewer, CONTACTS)
    assert "Athlete m01" in found and "Guardian Name" in found and "Athlete a01" not in found
    for path in (PACK, CARDS, "/events/lindmark-cup/sheet.pdf"):
        assert "Guardian Name" not in said(hall.viewer, path)
    Entry.objects.filter(athlete=hall.minor).update(status="withdrawn")
    assert client(hall.viewer).get(CONTACTS).status_code == 404


@pytest.mark.django_db
def test_there_is_a_card_a_page_for_everybody_who_is_to_start() -> None:
    hall = Hall(("level", "damage", "checkins"))
    assert [page.extract_text().split("\n")[0] for page in asked(hall.viewer, CARDS).pages] == [
        "Athlete a01", "Athlete m01",
    ]  # fmt: skip
    Entry.objects.filter(athlete=hall.minor).update(status="withdrawn")
    reader = asked(hall.viewer, CARDS)
    assert len(reader.pages) == 1 and "Back from a try" in text(reader) and "moist cover" in text(reader)


@pytest.mark.django_db
@pytest.mark.parametrize("path", [CARDS, PACK, "/events/lindmark-cup/sheet.pdf", "/events/lindmark-cup/sheet.csv"])
def test_whoever_sees_the_level_alone_is_told_whom_to_ask(path: str) -> None:
    answer = client(Hall(("level",)).viewer).get(path)
    found = text(PdfReader(io.BytesIO(answer.content))) if path.endswith("pdf") else answer.content.decode()
    assert "ask before climbing" in found
    assert "protected" not in found and "only if," not in found.replace('"only if, or who', "")
    assert re.search(r"\b(?:ring|index|crimps|moist cover:)", found) is None


@pytest.mark.django_db
def test_an_overruled_pause_is_printed_with_name_and_note() -> None:
    from dataclasses import replace

    from coaching.rules.conclusions import Overruled
    from tests import shown_cast as cast

    hall = Hall(("level", "damage", "checkins"))
    note = Overruled("timing", "Ayo Lind", stored.YESTERDAY, "tolerated last spring")
    shown = cast.athlete()
    told = replace(shown, steps=tuple(replace(step, overruled=(note,)) for step in shown.steps))
    Entry.objects.all().delete()
    stored.conclude([hall.adult], hall.event, told)
    for path in (CARD, SUMMARY, CARDS):
        assert "Pause overruled by Ayo Lind, Wed 10 Mar: tolerated last spring" in said(hall.viewer, path), path
    assert OverruledPause.objects.count() == 0


def paper(pages: tuple[PaperPage, ...], title: str = "T") -> PdfReader:
    made = paper_pdf(Paper(title, "en", datetime(2027, 3, 11, 6, tzinfo=UTC), "foot", pages, WORDS))
    return PdfReader(io.BytesIO(made))


@pytest.mark.parametrize("name", events.HOSTILE)
def test_texts_stay_texts_wherever_they_stand(name: str) -> None:
    part = Part(name, (Line(name, name, tick=True),), Table((name,), ((name,),)))
    found = text(paper((PaperPage(name, (name,), ((part,),)),), name))
    assert found.count(name) >= 6 and "root:" not in found


@pytest.mark.parametrize("name", ["李小龍", "Zoë 😀", "a\x00b", "\ud800", "x\u202ey"])
def test_no_letter_stops_a_paper(name: str) -> None:
    assert len(paper((PaperPage(name, (), ((Part(name, (Line(name),)),),)),)).pages) == 1


def test_more_than_fits_is_set_smaller_and_what_fits_in_no_size_goes_on() -> None:
    def page(n: int) -> tuple[PaperPage, ...]:
        return (PaperPage("T", (), ((Part("H", tuple(Line(f"n{k}", "word") for k in range(n))),),), 12.0),)

    few, many, too_many = (paper(page(n)) for n in (20, 50, 150))
    assert (len(few.pages), len(many.pages)) == (1, 1) and len(too_many.pages) > 1
    assert sizes(many, "n10") < sizes(few, "n10")
    assert all(f"n{k}: word" in text(too_many) for k in range(150))


def test_hands_are_told_in_words_too() -> None:
    spots = (SpotOnHand("L-ring-tip", "open", "split", "left ring, tip pad: split, open"),)
    reader = paper((PaperPage("T", (), ((Part("H", spots=spots),),)),))
    figures = [f["/Alt"] for f in elements(reader.trailer["/Root"]["/StructTreeRoot"]) if f["/S"] == "/Figure"]
    assert figures == ["left hand: left ring, tip pad: split, open", "right hand"]


def test_the_number_of_a_country_and_where_it_is_known_from() -> None:
    """112 in every member state: Directive (EU) 2018/1972, Article 109. Members: Article 52 of the Treaty on European
    Union, 27 since 1 February 2020. Zones to countries: zone.tab of the IANA time zone database.
    """
    for zone, code in (("Europe/Vienna", "AT"), ("Europe/Stockholm", "SE"), ("Atlantic/Canary", "ES")):
        found = emergency.emergency_in(zone)
        assert found is not None and (found.code, found.number, found.standard) == (code, "112", True)
    assert len(set(emergency._table()["european_union"]["countries"])) == 27
    for zone in ("Europe/London", "Europe/Zurich", "America/New_York", "Asia/Tokyo"):
        found = emergency.emergency_in(zone)
        assert found is not None and found.number and not found.standard
    nepal = emergency.emergency_in("Asia/Kathmandu")
    assert nepal is not None and nepal.number == "" and emergency.emergency_in("UTC") is None
    known = {code for code in emergency._names()}
    assert {*emergency._table()["from_memory"], *emergency._table()["european_union"]["countries"]} <= known


@pytest.mark.django_db
def test_what_each_takes_is_told(record_property: Any) -> None:
    """Told, not held: the machine that runs this has other work."""
    hall = Hall(("level", "damage", "checkins"))
    for path in (CARD, SUMMARY, PACK, CONTACTS, CARDS):
        begun = time.perf_counter()
        asked(hall.viewer, path)
        record_property(f"{path.rsplit('/')[-1]}_s", round(time.perf_counter() - begun, 3))

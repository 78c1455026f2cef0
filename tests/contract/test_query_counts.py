"""How often each page and each door of the interface asks the database: as the golden file says, for 24 athletes and
for 240 alike. Session, account and roles are counted; the marks of a transaction (BEGIN, SAVEPOINT) are not, because a
test runs inside one of its own. An insert that SQLite has to send in parts, because it takes no more than 999 values
at once, counts as the one that it is elsewhere.

A new page gets its line by hand, after a look at what it asks.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
import time_machine
from allauth.mfa.recovery_codes.internal.auth import RecoveryCodes
from django.conf import settings
from django.core import signing
from django.db import connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import URLPattern, URLResolver, get_resolver

from athletes.records import feeds, reads, reminders
from athletes.records.models import Account, Athlete, CheckIn, Damage, Entry, Event, Look, Photo, Place, Session, Trial
from coaching.usecases import invitations, see_photo, sign_in_codes
from coaching.usecases.reminding import asked
from tests import shown_cast as cast
from tests import stored
from tests.api_calls import send
from tests.api_cast import BODIES

GOLDEN = json.loads((Path(__file__).parents[2] / "fixtures/golden/query_counts.json").read_text())
TRANSACTION = ("BEGIN", "COMMIT", "ROLLBACK", "SAVEPOINT", "RELEASE", "SET LOCAL")
IN_PARTS = "INSERT OR IGNORE"
SENT = {"day": "2027-03-11", "reserve": "6", "dampness": "4", "agent_used": "no", "infected": "no"}
RULE = {"what": "deadline.look:days", "value": "2 3", "from_day": cast.AS_OF.isoformat(), "reason": "own record"}
OVERRULED = {"form": "sand", "day": cast.AS_OF.isoformat(), "note": "own record"}
SIGN_IN = {"username": "coach", "password": "chalk before rock"}
TAP = {"tap": "try plastic", "day": "2027-03-11", "n": "1"}
PHOTO = "0" * 32
REMIND = {"act": "ask", "kind": ["morning"], "at-morning": "07:15", "timezone": "UTC", "quiet_from": "21:00",
          "quiet_to": "07:00"}  # fmt: skip
READING = {"action": "one", "at": "2027-03-11T09:00", "temp": "12", "humidity": "55"}
PLANNED = {"action": "plan", "who": ["a000"], "first": "2027-03-12", "minutes": "60"}
NEW_EVENT = {
    "name": "Cup", "kind": "trip", "first_day": "2027-04-10", "timezone": "UTC", "priority": "1", "who": ["a000"],
}  # fmt: skip
GOES = {"status-a000": "withdrawn", "priority-a000": "1", "seen-a000": "1"}
EVENT_NOTE = {"kind": "help", "text": "Clinic by the bridge"}
TRIAL = {
    "form": "humectant cream", "outcome": "sting", "better": "lower", "way": "blocks", "pairs": "6",
    "first_day": "2027-03-11", "do": "look",
}  # fmt: skip
RECORD = ("who-sees", "who-looked", "export", "record.pdf", "erase")
FACTOR = "account/second-factor"
OWN = [
    "account", "account/password", "account/held", "account/tokens", "account/calendar", "account/code",
    "account/reminders", FACTOR, f"{FACTOR}/app", f"{FACTOR}/app/remove",
    f"{FACTOR}/codes", f"{FACTOR}/codes/new", f"{FACTOR}/passkey", f"{FACTOR}/passkeys",
    f"{FACTOR}/passkeys/<int:pk>", "account/again", "account/again/code", "account/again/passkey",
]  # fmt: skip
LINKS: dict[str, str] = {}
A, E = "athletes/<athlete_id>", "events/<event_id>"
PLACES = {"<athlete_id>": "a000", "<event_id>": "lindmark-cup", "<episode_id>": "da000"}
READ = [
    "schema", "docs", "athletes?limit=20", A, f"{A}/check-ins", f"{A}/sessions", f"{A}/care", f"{A}/damage",
    f"{A}/damage/<episode_id>/looks", f"{A}/looks/<look_id>", f"{A}/sightings", f"{A}/sign-offs", f"{A}/entries",
    f"{A}/decisions", "deadlines?limit=20", "events", E, f"{E}/entries?limit=20", f"{E}/entries/<athlete_id>",
]  # fmt: skip
TOLD_BY = {"coach": "session planned, care planned, sighting, overruled pause, decision", "medical": "sign-off"}
CHANGED = {f"{A}/looks/<look_id>": {"pain": 1}, E: {"bar": 50}, f"{E}/entries/<athlete_id>": {"status": "entered"}}


def filled(path: str) -> str:
    """The path with the keys of the first athlete; its look is looked up where one is named."""
    for hole, value in PLACES.items():
        path = path.replace(hole, value)
    if "<look_id>" not in path:
        return path
    return path.replace("<look_id>", str(Look.objects.get(damage__code="da000").pk))


def _read(path: str) -> Callable[[Client], Any]:
    return lambda client: client.get(f"/api/v1/{filled(path)}")


def _told(what: str) -> Callable[[Client], Any]:
    path, body = BODIES[what]
    return lambda client: send(client, f"athletes/a000/{path.replace('d1', 'da000')}", body)


def _changed(path: str) -> Callable[[Client], Any]:
    return lambda client: send(client, filled(path), CHANGED[path], "patch", headers={"if-match": '"1-00000000"'})


def _by_link(kind: str, path: str) -> Callable[[Client], Any]:
    """Both steps: the address with the secret, and the one without it that it leads to."""
    return lambda client: (client.get(f"/{path}/{LINKS[kind]}"), client.get(f"/{path}"))[1]


def _teller(what: str) -> str:
    return next((who for who, told in TOLD_BY.items() if what in told.split(", ")), "athlete")


API: dict[str, tuple[str, Callable[[Client], Any]]] = {
    **{f"GET /api/v1/{path.split('?')[0]}": ("coach", _read(path)) for path in READ},
    **{
        f"POST /api/v1/{A}/{path.replace('d1', '<episode_id>')}, {what}": (_teller(what), _told(what))
        for what, (path, _) in BODIES.items()
    },
    **{f"PATCH /api/v1/{path}": ("coach", _changed(path)) for path in CHANGED},
}
ASKED: dict[str, tuple[str, Callable[[Client], Any]]] = {
    "GET /": ("coach", lambda c: c.get("/")),
    "GET /morning": ("coach", lambda c: c.get("/morning")),
    "GET /athletes/<code>": ("coach", lambda c: c.get("/athletes/a000")),
    "GET /rules": ("coach", lambda c: c.get("/rules")),
    "POST /rules": ("coach", lambda c: c.post("/rules", RULE)),
    "POST /athletes/<code>/overrule": ("coach", lambda c: c.post("/athletes/a000/overrule", OVERRULED)),
    "GET /places": ("coach", lambda c: c.get("/places")),
    "POST /places": ("coach", lambda c: c.post("/places", {"action": "units", "temperature": "F", "wind": "kn"})),
    "GET /places/<code>": ("coach", lambda c: c.get("/places/p1")),
    "GET /places/<code>, for an athlete": ("coach", lambda c: c.get("/places/p1?athlete=a000")),
    "GET /places/<code>/air": ("coach", lambda c: c.get("/places/p1/air")),
    "POST /places/<code>/air": ("coach", lambda c: c.post("/places/p1/air", READING)),
    "GET /athletes/<code>/made": ("coach", lambda c: c.get("/athletes/a000/made")),
    "GET /were-we-right": ("coach", lambda c: c.get("/were-we-right")),
    "GET /athletes/<code>/plan": ("coach", lambda c: c.get("/athletes/a000/plan")),
    "POST /athletes/<code>/plan": ("coach", lambda c: c.post("/athletes/a000/plan", {})),
    "GET /plans": ("coach", lambda c: c.get("/plans")),
    "GET /athletes/<code>/what-if": ("coach", lambda c: c.get("/athletes/a000/what-if")),
    "POST /athletes/<code>/what-if": (
        "coach", lambda c: c.post("/athletes/a000/what-if", {"kind": "none", "do": "accept"}),
    ),
    "GET /decisions": ("coach", lambda c: c.get("/decisions")),
    "POST /decisions": ("coach", lambda c: c.post("/decisions", {})),
    "GET /not-known": ("coach", lambda c: c.get("/not-known")),
    "POST /not-known": ("coach", lambda c: c.post("/not-known", {"squad": "hall"})),
    "GET /events/<code>/review": ("coach", lambda c: c.get("/events/over/review")),
    "GET /season": ("coach", lambda c: c.get("/season")),
    "GET /squad": ("coach", lambda c: c.get("/squad")),
    "POST /squad": ("coach", lambda c: c.post("/squad", {"action": "add", "name": "N", "timezone": "UTC"})),
    "GET /squad/<code>": ("coach", lambda c: c.get("/squad/a000")),
    "POST /squad/<code>": ("coach", lambda c: c.post("/squad/a000", {"name": "N", "timezone": "UTC"})),
    "GET /sessions": ("coach", lambda c: c.get("/sessions")),
    "POST /sessions": ("coach", lambda c: c.post("/sessions", PLANNED)),
    "GET /new-event": ("coach", lambda c: c.get("/new-event")),
    "POST /new-event": ("coach", lambda c: c.post("/new-event", NEW_EVENT)),
    "GET /events/<code>/entries": ("coach", lambda c: c.get("/events/lindmark-cup/entries")),
    "POST /events/<code>/entries": ("coach", lambda c: c.post("/events/lindmark-cup/entries", GOES)),
    "GET /events": ("coach", lambda c: c.get("/events")),
    "GET /events/<code>": ("coach", lambda c: c.get("/events/lindmark-cup")),
    "GET /athletes/<code>/hand-over.pdf": ("coach", lambda c: c.get("/athletes/a000/hand-over.pdf")),
    "GET /athletes/<code>/summary.pdf": ("coach", lambda c: c.get("/athletes/a000/summary.pdf")),
    "GET /summary.pdf": ("coach", lambda c: c.get("/summary.pdf")),
    "GET /summary.csv": ("coach", lambda c: c.get("/summary.csv")),
    "GET /me/hand-over.pdf": ("athlete", lambda c: c.get("/me/hand-over.pdf")),
    "GET /events/<code>/trip-pack.pdf": ("coach", lambda c: c.get("/events/lindmark-cup/trip-pack.pdf")),
    "GET /events/<code>/contacts.pdf": ("coach", lambda c: c.get("/events/lindmark-cup/contacts.pdf")),
    "GET /events/<code>/cards.pdf": ("coach", lambda c: c.get("/events/lindmark-cup/cards.pdf")),
    "POST /events/<code>/notes": ("coach", lambda c: c.post("/events/lindmark-cup/notes", EVENT_NOTE)),
    "GET /events/<code>/sheet.pdf": ("coach", lambda c: c.get("/events/lindmark-cup/sheet.pdf")),
    "GET /events/<code>/sheet.csv": ("coach", lambda c: c.get("/events/lindmark-cup/sheet.csv")),
    "GET /events/<code>/sheet.xlsx": ("coach", lambda c: c.get("/events/lindmark-cup/sheet.xlsx")),
    "GET /sw.js": ("nobody", lambda c: c.get("/sw.js")),
    "GET /manifest.webmanifest": ("nobody", lambda c: c.get("/manifest.webmanifest")),
    "GET /offline": ("nobody", lambda c: c.get("/offline")),
    "GET /contact": ("athlete", lambda c: c.get("/contact")),
    "GET /contact, of a coach": ("coach", lambda c: c.get("/contact")),
    "POST /phone": ("athlete", lambda c: c.post("/phone")),
    "GET /morning/kept": ("coach", lambda c: c.get("/morning/kept")),
    "GET /me/infected": ("athlete", lambda c: c.get("/me/infected")),
    "POST /me/infected": ("athlete", lambda c: c.post("/me/infected", {"name": "N", "number": "112"})),
    "GET /me/check-in": ("athlete", lambda c: c.get("/me/check-in")),
    "GET /me/check-in, of a ward": ("guardian", lambda c: c.get("/me/check-in")),
    "POST /me/check-in": ("athlete", lambda c: c.post("/me/check-in", SENT)),
    "GET /me/today": ("athlete", lambda c: c.get("/me/today")),
    "GET /me/session": ("athlete", lambda c: c.get("/me/session")),
    "POST /me/session": ("athlete", lambda c: c.post("/me/session", {"skin_limited": "no"})),
    "GET /me/hands": ("athlete", lambda c: c.get("/me/hands")),
    "GET /me/tally": ("athlete", lambda c: c.get("/me/tally")),
    "POST /me/tally": ("athlete", lambda c: c.post("/me/tally", TAP)),
    "GET /me/damage": ("athlete", lambda c: c.get("/me/damage")),
    "POST /me/damage": ("athlete", lambda c: c.post("/me/damage", {"site": "R-web", "kind": "graze", "bled": "no"})),
    "GET /me/damage/<episode_id>": ("athlete", lambda c: c.get("/me/damage/da000")),
    "POST /me/damage/<episode_id>": ("athlete", lambda c: c.post("/me/damage/da000", {"stage": "closing"})),
    "GET /photos/<name>": (
        "coach",
        lambda c: c.get(f"/photos/{PHOTO}?s={see_photo.sign(PHOTO, c.session.session_key)}"),
    ),
    "GET /athletes/<code>/hands": ("coach", lambda c: c.get("/athletes/a000/hands")),
    "GET /me/trials": ("athlete", lambda c: c.get("/me/trials")),
    "POST /me/trials": ("athlete", lambda c: c.post("/me/trials", {"form": "wax balm", "reacted": "no"})),
    "GET /me/trials/new": ("athlete", lambda c: c.get("/me/trials/new")),
    "POST /me/trials/new": ("athlete", lambda c: c.post("/me/trials/new", TRIAL)),
    "GET /me/trials/<number>": ("athlete", lambda c: c.get("/me/trials/1")),
    "POST /me/trials/<number>": ("athlete", lambda c: c.post("/me/trials/1", {"day": "2027-03-11", "taken": "yes"})),
    "GET /trials": ("coach", lambda c: c.get("/trials")),
    "GET /athletes/<code>/trials/<number>/bottles": ("coach", lambda c: c.get("/athletes/a000/trials/1/bottles")),
    "GET /me/places": ("athlete", lambda c: c.get("/me/places")),
    "POST /me/places": ("athlete", lambda c: c.post("/me/places", {"temperature": "F", "wind": "kn"})),
    "GET /me/places/<code>": ("athlete", lambda c: c.get("/me/places/p1")),
    **{f"GET /me/{path}": ("athlete", lambda c, path=path: c.get(f"/me/{path}")) for path in RECORD},
    "POST /me/who-sees": ("athlete", lambda c: c.post("/me/who-sees", {"do": "stop:head-coach"})),
    "POST /me/erase": ("athlete", lambda c: c.post("/me/erase", {"do": "erase"})),
    "GET /support": ("support", lambda c: c.get("/support")),
    "POST /support": ("support", lambda c: c.post("/support", {"athlete": "a000", "reason": "asked by telephone"})),
    "GET /login": ("nobody", lambda c: c.get("/login")),
    "GET /login/once": ("nobody", lambda c: c.get("/login/once")),
    "POST /login/once": ("nobody", lambda c: c.post("/login/once", {"code": LINKS["code"]})),
    "POST /login": ("nobody", lambda c: c.post("/login", SIGN_IN)),
    **{
        f"GET /{path}": ("nobody", lambda c, path=path: c.get(f"/{path}"))
        for path in ("login/code", "login/passkey")
    },
    **{f"GET /{path}": ("coach", lambda c, path=path: c.get(f"/{path.replace('<int:pk>', '1')}")) for path in OWN},
    "POST /account": ("coach", lambda c: c.post("/account", {"action": "end-others"})),
    "POST /account/tokens": ("athlete", lambda c: c.post("/account/tokens", {"action": "phone", "label": "phone"})),
    "POST /account/calendar": ("coach", lambda c: c.post("/account/calendar", {"act": "make season"})),
    "POST /account/reminders": ("athlete", lambda c: c.post("/account/reminders", REMIND)),
    "GET /calendar/<token>": ("nobody", lambda c: c.get(f"/calendar/{LINKS['own']}")),
    "GET /calendar/<token>, the season": ("nobody", lambda c: c.get(f"/calendar/{LINKS['season']}")),
    "GET /reminders/yes/<token>": ("nobody", lambda c: c.get(f"/reminders/yes/{LINKS['mail']}")),
    "GET /reminders/stop/<token>": ("nobody", lambda c: c.get(f"/reminders/stop/{LINKS['stop']}")),
    "GET /people": ("coach", lambda c: c.get("/people")),
    "GET /people, of a ward": ("guardian", lambda c: c.get("/people")),
    "POST /people": ("coach", lambda c: c.post("/people", {"act": "invite", "role": "assistant", "name": "N"})),
    "GET /join/<token>": ("nobody", lambda c: c.get(f"/join/{LINKS['join']}")),
    "GET /join": ("nobody", _by_link("join", "join")),
    "GET /new-password/<token>": ("nobody", lambda c: c.get(f"/new-password/{LINKS['reset']}")),
    "GET /new-password": ("nobody", _by_link("reset", "new-password")),
    "GET /healthz": ("nobody", lambda c: c.get("/healthz")),
    "GET /readyz": ("nobody", lambda c: c.get("/readyz")),
    **API,
}


def populate(size: int) -> dict[str, Account | None]:
    """A squad of that size that shares everything, each with a conclusion, yesterday's answers and open damage."""
    squad = stored.squad()
    rows = stored.athletes([f"a{n:03}" for n in range(size)], squad, stored.MINOR)
    stored.share(rows)
    hall, event = Place.objects.create(code="p1", name="Hall"), stored.event()
    Event.objects.update(place=hall)
    stored.conclude(rows, event)
    over = {"kind": "competition", "timezone": "UTC", "first_day": stored.YESTERDAY, "last_day": stored.YESTERDAY}
    begun = Event.objects.create(code="over", name="Over", **over)
    Entry.objects.bulk_create([Entry(event=begun, athlete=row) for row in rows])
    CheckIn.objects.bulk_create([CheckIn(athlete=r, local_date=stored.YESTERDAY, reserve=5) for r in rows])
    Session.objects.bulk_create([Session(athlete=r, local_date=cast.AS_OF, planned=True) for r in rows])
    past = {"local_date": stored.YESTERDAY, "planned": False, "place": hall}
    Session.objects.bulk_create([Session(athlete=r, **past) for r in rows])
    told = {"kind": "split", "site": "L-ring-tip", "noticed_on": stored.YESTERDAY}
    damage = Damage.objects.bulk_create([Damage(athlete=r, code=f"d{r.code}", **told) for r in rows])
    photo = {"name": PHOTO, "local_date": stored.YESTERDAY, "made_at": stored.NOW, "width_px": 60, "height_px": 60}
    Photo.objects.create(athlete=rows[0], damage=Damage.objects.get(code="da000"), content=b"", **photo)
    Look.objects.bulk_create([Look(damage=d, local_date=stored.YESTERDAY, stage="open") for d in damage])
    Trial.objects.bulk_create([_trial(n, row) for n, row in enumerate(rows, 1)])
    people = [stored.login("athlete", squad, [row]) for row in rows]
    Account.objects.update(demo=True)  # the sign-in page lists every one of them
    stored.share(rows[:1], role="medical")
    coach, guardian = stored.login("head-coach", squad), stored.login("guardian", None, rows[:1])
    coach.username = SIGN_IN["username"]
    coach.set_password(SIGN_IN["password"])
    coach.save()
    medical = stored.login("medical", squad)
    RecoveryCodes.activate(coach)
    support = stored.login("support")
    reads._known.clear()  # who is let through for the first time in a process is noted in one query more
    LINKS["code"] = sign_in_codes.make(people[0])
    for kind, account in (("own", people[0]), ("season", coach)):
        LINKS[kind] = feeds.make(account.pk, kind, stored.NOW)
    reminders.set_mail(people[0].pk, "me@example.org", confirmed=False)
    LINKS["stop"] = asked.stop_token(people[0].pk, "me@example.org")
    LINKS["mail"] = signing.dumps(asked._about(people[0].pk, "me@example.org"), salt=asked.CONFIRM)
    LINKS["join"] = invitations.invite_as_operator(squad.code, "assistant", "N", None)
    LINKS["reset"] = invitations.reset_link_as_operator(coach.pk)
    return {"coach": coach, "athlete": people[0], "guardian": guardian, "medical": medical, "support": support,
            "nobody": None}  # fmt: skip


def _trial(n: int, row: Athlete) -> Trial:
    """One that is hidden and runs."""
    return Trial(
        id=n, athlete=row, verb="soften", form="aluminium salt", outcome="sting", lower_is_better=True, hands=False,
        hidden=True, pairs=6, skip_days=3, read_days=5, first_day=stored.YESTERDAY, last_day="2027-07-01",
        starts=[8 * block for block in range(12)], seed=n, pair_sd=1.0, model="2026.5", made_at=stored.NOW,
    )  # fmt: skip


def count(who: Account | None, ask: Callable[[Client], Any]) -> tuple[int, int]:
    """(status, number of queries) of one request, whose traces are then taken back."""
    client = Client()
    with transaction.atomic():
        if who is not None:
            client.force_login(who)
        with CaptureQueriesContext(connection) as asked:
            status = ask(client).status_code
        transaction.set_rollback(True)
    said = [query["sql"] for query in asked if not query["sql"].startswith(TRANSACTION)]
    parts = sum(a[:60] == b[:60] and a.startswith(IN_PARTS) for a, b in pairwise(said))
    return status, len(said) - parts


def expected() -> dict[str, int]:
    """The golden numbers of the servers that the tests run on."""
    numbers = dict(GOLDEN["queries"])
    if connection.vendor == "postgresql":
        numbers |= GOLDEN["on_postgresql"]
    return numbers | GOLDEN["with_redis"] if settings.TENPADS_REDIS_URL else numbers


@pytest.mark.django_db
@pytest.mark.parametrize("size", [24, 240])
def test_the_queries_are_those_of_the_golden_file_whatever_the_size_of_the_squad(size: int) -> None:
    with time_machine.travel(stored.NOW, tick=False):
        people = populate(size)
        found = {name: count(people[who], ask) for name, (who, ask) in ASKED.items()}
    assert {name: status for name, (status, _) in found.items() if status not in (200, 201, 302, 422)} == {}
    assert {name: queries for name, (_, queries) in found.items()} == expected()


@pytest.mark.django_db
def test_the_pages_that_are_counted_show_the_whole_squad() -> None:
    """Else the numbers would be those of an empty page."""
    with time_machine.travel(stored.NOW, tick=False):
        client = Client()
        client.force_login(populate(24)["coach"])
        assert client.get("/morning").content.decode().count('href="/athletes/a0') >= 24
        assert len(client.get("/api/v1/athletes").json()["results"]) == 24
        (entry,) = client.get("/api/v1/athletes/a000/entries").json()["entries"]
    assert len(entry["reasons"]) == 1 and len(entry["deadlines"]) == 4


def routes(resolver: URLResolver | None = None, prefix: str = "/") -> list[str]:
    """Every address there is, its parameters by their bare names."""
    found: list[str] = []
    for pattern in (resolver or get_resolver()).url_patterns:
        route = prefix + str(pattern.pattern).replace("<str:", "<").replace("<int:number>", "<number>")
        found += [route] if isinstance(pattern, URLPattern) else routes(pattern, route)
    return found


def test_every_address_is_counted() -> None:
    counted = {name.split(" ")[1].rstrip(",") for name in ASKED}
    assert sorted(set(routes()) ^ counted) == []

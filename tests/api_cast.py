"""One athlete of whom everything is shared, one of each role, and one good body for everything that can be posted."""

from __future__ import annotations

from typing import Any

from django.test import Client

from athletes.records import choices
from athletes.records.models import Account, Athlete, Damage, Squad
from tests import stored
from tests.api_calls import GOOD

DAY = "2027-03-11"
BODIES: dict[str, tuple[str, dict[str, Any]]] = {
    "check-in": ("check-ins", GOOD),
    "session done": ("sessions", {"local_date": DAY, "planned": False, "minutes": 90.5, "surface": "wood"}),
    "session planned": ("sessions", {"local_date": "2027-03-14", "planned": True, "rpe": 6}),
    "care done": ("care", {"local_date": DAY, "status": "done", "verb": "soften", "form": "wax balm"}),
    "care planned": ("care", {"local_date": "2027-03-12", "status": "planned", "verb": "rest", "form": "rest day"}),
    "damage": ("damage", {"site": "R-web", "kind": "cut", "noticed_on": DAY, "worries": ["dirty"], "length_mm": 4}),
    "look": ("damage/d1/looks", {"local_date": DAY, "stage": "closing", "pain": 2}),
    "sighting": ("sightings", {"local_date": DAY, "marks": [{"site": "L-index-tip", "mark": "pink"}]}),
    "sign-off": ("sign-offs", {"form": "methenamine spray", "given_on": DAY, "until": "2027-04-11"}),
    "overruled pause": ("overruled-pauses", {"form": "methenamine spray", "day": "2027-03-12", "note": "own record"}),
    "delivery of a check-in": ("deliveries", {"kind": "check-in", "device": "0" * 16, "seq": 1, "body": GOOD}),
    "decision": ("decisions", {"event_id": "lindmark-cup", "kind": "entry", "answer": "accept"}),
}


def cast(role: str, classes: Any = choices.DATA_CLASSES, born: Any = stored.MINOR) -> Client:
    """A client signed in as one of the roles; the athlete is `a1`, entered in `lindmark-cup`, with open damage `d1`."""
    squad = stored.squad()
    rows = stored.athletes(["a1", "a2"], squad, born)
    stored.conclude(rows[:1], stored.event())
    Damage.objects.create(athlete=rows[0], code="d1", site="R-web", kind="cut", noticed_on="2027-03-08")
    for grantee in stored.PURPOSES:
        stored.share(rows[:1], classes, grantee)
    client = Client()
    client.force_login(account(role, squad, rows))
    return client


def account(role: str, squad: Squad, rows: list[Athlete]) -> Account:
    if role == "athlete of the squad":
        return stored.login("athlete", squad, rows[1:])
    if role == "coach elsewhere":
        return stored.login("head-coach", stored.squad("elsewhere"))
    over = rows[:1] if role in ("athlete", "guardian") else ()
    return stored.login(role, squad, over)

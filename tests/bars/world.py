"""Two clubs that know nothing of each other, and thirteen people at the door of the one."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta

from django.apps import apps
from django.db import connection
from django.test import Client

from athletes.records import tokens
from athletes.records.models import (
    Account,
    Athlete,
    Care,
    CheckIn,
    Damage,
    Event,
    Look,
    OneTimeLink,
    Photo,
    Place,
    Session,
    Sighting,
    Signoff,
    Squad,
    Trial,
)
from tests import stored

OWN, FOREIGN, NOBODY = "own", "foreign", "nonexistent"

NEVER = {"athlete": "z-a1", "event": "z-cup", "damage": "z-d", "look": "7777799", "place": "z-p", "squad": "z-s",
         "photo": "z" * 32, "trial": "7777999"}  # fmt: skip
WRITTEN_WHEN_ASKED = {
    "records_signedin", "records_tried", "records_accesslog", "records_accessscope", "django_session",
    "records_apitoken",
}  # fmt: skip
"""Tables in which asking itself leaves a trace: sessions, tries, the log of reads, the day a token was last used."""


@dataclass(frozen=True)
class Club:
    squad: Squad
    athlete: Athlete
    mate: Athlete
    ids: dict[str, str]


def club(name: str) -> Club:
    """A squad with two athletes under 18 of whom everything is shared, one with facts in every table."""
    squad = stored.squad(f"{name}-s")
    one, mate = stored.athletes([f"{name}-a1", f"{name}-a2"], squad, stored.MINOR)
    hall = Place.objects.create(code=f"{name}-p", name=f"Hall of {name}")
    event = stored.event(f"{name}-cup")
    Event.objects.filter(pk=event.pk).update(place=hall, name=f"Cup of {name}")
    stored.conclude([one, mate], event)
    for role in stored.PURPOSES:
        stored.share([one, mate], role=role)
    day = {"athlete": one, "local_date": stored.YESTERDAY}
    CheckIn.objects.create(**day, reserve=5, note=f"note of {name}")
    Session.objects.create(**day, planned=False, place=hall)
    Care.objects.create(**day, status="done", verb="soften", form="wax balm", product_note=f"product of {name}")
    Sighting.objects.create(**day, by="coach", marks=[["L-index-tip", "pink"]], note=f"seen by {name}")
    Signoff.objects.create(athlete=one, form="methenamine spray", by="medical", given_on=stored.YESTERDAY)
    told = {"site": "R-web", "kind": "cut", "noticed_on": stored.YESTERDAY}
    damage = Damage.objects.create(athlete=one, code=f"{name}-d", **told)
    look = Look.objects.create(id=7777700 + ord(name[0]) % 10, damage=damage, local_date=stored.YESTERDAY, stage="open")
    photo = Photo.objects.create(
        athlete=one, damage=damage, name=name * 32, local_date=stored.YESTERDAY, made_at=stored.NOW, width_px=60,
        height_px=60, content=b"",
    )  # fmt: skip
    trial = Trial.objects.create(
        id=7777800 + ord(name[0]) % 10, athlete=one, verb="dry", form="aluminium salt", outcome="sting", pairs=6,
        lower_is_better=True, hands=False, hidden=True, skip_days=3, read_days=5, first_day=stored.YESTERDAY,
        last_day="2027-07-01", starts=[8 * block for block in range(12)], seed=7, pair_sd=1.0, made_at=stored.NOW,
    )  # fmt: skip
    ids = {"athlete": one.code, "event": event.code, "damage": damage.code, "look": str(look.pk), "place": hall.code}
    ids |= {"trial": str(trial.pk), "photo": photo.name}
    return Club(squad, one, mate, {**ids, "squad": squad.code})


@dataclass(frozen=True)
class Caller:
    """One of the thirteen. `reads` says whether anything of the athlete `h-a1` is theirs to read or to store."""

    name: str
    client: Client
    reads: bool
    headers: dict[str, str]


@dataclass(frozen=True)
class World:
    home: Club
    away: Club

    def callers(self) -> dict[str, Callable[[], Caller]]:
        """How to make each of the thirteen."""
        squad, row, mate = self.home.squad, self.home.athlete, self.home.mate
        roles = {"head coach": "head-coach", "medical": "medical", "manager": "manager"}
        made: dict[str, Callable[[], Caller]] = {
            name: (lambda name=name, role=role: _caller(name, stored.login(role, squad), True))
            for name, role in roles.items()
        }
        return {
            "stranger": lambda: Caller("stranger", Client(raise_request_exception=False), False, {}),
            "athlete self": lambda: _caller("athlete self", stored.login("athlete", squad, [row]), True),
            "athlete other": lambda: _caller("athlete other", stored.login("athlete", squad, [mate]), False),
            "guardian own": lambda: _caller("guardian own", stored.login("guardian", None, [row]), True),
            "guardian other": lambda: _caller("guardian other", stored.login("guardian", None, [mate]), False),
            **made,
            "assistant with a limited purpose": self._assistant,
            "withdrawn a second ago": self._withdrawn,
            "disabled": self._disabled,
            "support without a reason": lambda: _caller("support without a reason", stored.login("support"), False),
            "token for check-ins alone": self._token,
        }

    def _assistant(self) -> Caller:
        """Of the athlete only the level is shared with assistants."""
        stored.withdraw(athlete=self.home.athlete, grantee_role="assistant", data_class__in=SENSITIVE)
        return _caller("assistant with a limited purpose", stored.login("assistant", self.home.squad), True)

    def _withdrawn(self) -> Caller:
        found = _caller("withdrawn a second ago", stored.login("head-coach", self.home.squad), False)
        assert found.client.get("/api/v1/athletes/h-a1").status_code == 200
        stored.withdraw(athlete__in=[self.home.athlete, self.home.mate])
        return found

    def _disabled(self) -> Caller:
        account = stored.login("head-coach", self.home.squad)
        found = _caller("disabled", account, False)
        Account.objects.filter(pk=account.pk).update(is_active=False)
        return found

    def _token(self) -> Caller:
        account = stored.login("athlete", self.home.squad, [self.home.athlete])
        text = tokens.make(account.person.code, ["checkins"], 30, stored.NOW - timedelta(hours=1))
        client = Client(raise_request_exception=False)
        return Caller("token for check-ins alone", client, True, {"authorization": f"Bearer {text}"})


SENSITIVE = ("checkins", "notes", "photos", "damage")


def _caller(name: str, account: Account, reads: bool) -> Caller:
    client = Client(raise_request_exception=False)
    client.force_login(account)
    return Caller(name, client, reads, {})


def build() -> World:
    world = World(club("h"), club("f"))
    OneTimeLink.objects.create(
        kind="join", prefix="0" * 12, digest="0" * 64, made_at=stored.NOW, expires_at=stored.NOW,
        athlete=world.away.athlete,
    )  # fmt: skip
    return world


def digest(but: frozenset[str] = frozenset()) -> dict[str, str]:
    """A digest of every table's rows, by table."""
    found = {}
    with connection.cursor() as cursor:
        for model in apps.get_models(include_auto_created=True):
            table = model._meta.db_table
            if table in WRITTEN_WHEN_ASKED | but:
                continue
            cursor.execute(f'SELECT * FROM "{table}"')  # noqa: S608 - a name from the schema
            rows = sorted(map(repr, cursor.fetchall()))
            found[table] = hashlib.sha256("\n".join(rows).encode()).hexdigest()
    return found

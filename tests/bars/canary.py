"""One athlete with a text of their own in every text column that is theirs, and where it turns up again."""

from __future__ import annotations

import subprocess
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from allauth.account.models import EmailAddress
from allauth.mfa.models import Authenticator
from django.apps import apps
from django.db import connection, transaction
from django.db.models import CharField, JSONField, TextField

from athletes.records import erasing
from athletes.records.models import (
    Account,
    ApiToken,
    Athlete,
    BrokenGlass,
    Care,
    CheckIn,
    Correction,
    Damage,
    Decision,
    Delivery,
    Event,
    Look,
    Membership,
    OneTimeLink,
    OverruledPause,
    Person,
    Photo,
    PushAddress,
    Role,
    SentBefore,
    Session,
    Sighting,
    SignedIn,
    Signoff,
    Tap,
    Trial,
    TrialDay,
    TrialEnd,
    TrialPatch,
    WhomToCall,
)
from coaching.ledger.models import Conclusion, KeptForecast, Staleness
from tests import stored

CANARY = "Qzxcanary"
NOW = datetime(2027, 3, 11, 9, tzinfo=UTC)


@transaction.atomic
def athlete(number: int, squad: Any) -> Athlete:
    """With rows in every table of facts, in the conclusions, and with what others wrote."""
    word = f"{CANARY}{number}"
    row = Athlete.objects.create(code=f"{word}code", name=f"{word} name", birth_date=stored.ADULT)
    Membership.objects.create(squad=squad, athlete=row)
    person = Person.objects.create(code=f"{word}p", name=f"{word} person")
    Role.objects.create(person=person, role="athlete", squad=squad, athlete=row)
    guard = Person.objects.create(code=f"{word}g", name=f"{word} guardian")
    Role.objects.create(person=guard, role="guardian", athlete=row)
    account = Account.objects.create(username=f"{word}login", person=person, email=f"{word}@example.org")
    coach = Account.objects.create(username=f"coach{number}", person=Person.objects.create(code=f"c{number}", name="C"))
    day = {"athlete": row, "local_date": stored.YESTERDAY}
    CheckIn.objects.create(**day, reserve=4, note=f"{word} note")
    Session.objects.create(**day, planned=False)
    Care.objects.create(**day, status="done", verb="soften", form="wax balm", product_note=f"{word} product")
    Sighting.objects.create(**day, by="coach", marks=[], note=f"{word} seen by the coach")
    Signoff.objects.create(athlete=row, form="methenamine spray", by="medical", given_on=stored.YESTERDAY)
    told = {"site": "R-web", "kind": "cut", "noticed_on": stored.YESTERDAY}
    damage = Damage.objects.create(athlete=row, code=f"{word}d", cause=f"{word} cause", **told)
    Look.objects.create(damage=damage, local_date=stored.YESTERDAY, stage="open")
    Tap.objects.create(**day, key=f"{word}tap", what="try", surface="wood", made_at=NOW)
    pixels = {"content": f"{word} pixels".encode(), "width_px": 60, "height_px": 60}
    Photo.objects.create(**day, **pixels, damage=damage, name=f"{word}photo", made_at=NOW)
    event = Event.objects.filter(code="lindmark-cup").first() or stored.event()
    said = {"athlete": row, "made_at": NOW, "by": coach}
    Decision.objects.create(**said, event=event, kind="entry", answer="decline", why=f"{word} said the coach")
    pause = {"form": "sand", "refusal_class": "site", "local_date": stored.TODAY, "given_on": stored.TODAY}
    OverruledPause.objects.create(**said, **pause, note=f"{word} pause", by_name="C")
    after = {"note": f"{word} after"}
    Correction.objects.create(**said, table="checkin", row_id=1, before={"note": f"{word} before"}, after=after)
    sent = {"key": f"{word}key", "digest": "0", "made_at": NOW, "body": f"{word} body", "status": 201}
    SentBefore.objects.create(account=coach, athlete=row, **sent)
    OneTimeLink.objects.create(
        kind="join", prefix=f"{number:012}", digest=f"{number:064}", made_at=NOW, expires_at=NOW, athlete=row,
        name=word, role="athlete",
    )  # fmt: skip
    Delivery.objects.create(athlete=row, kind="tap", about=f"{word}about", seq=1, arrived_at=NOW, body={"say": word})
    WhomToCall.objects.create(athlete=row, ordinal=1, name=f"{word} clinic", number=word)
    trial = _trial(row, word)
    TrialDay.objects.create(athlete=row, trial=trial, local_date=stored.TODAY, taken=True, made_at=NOW)
    over = {"local_date": stored.TODAY, "why": "over", "drawn": "AB", "verdict": "cannot-tell", "made_at": NOW}
    TrialEnd.objects.create(athlete=row, trial=trial, **over, note=f"{word} end", result={"say": word})
    TrialPatch.objects.create(athlete=row, form="wax balm", local_date=stored.TODAY, reacted=False, made_at=NOW)
    stored.share([row])
    stored.conclude([row], event)
    for concluded in Conclusion.objects.filter(athlete_id=row.id):
        concluded.picture = {**concluded.picture, "drawn": f"{word} picture"}
        concluded.save()
    Staleness.objects.filter(athlete_id=row.id).update(failure=f"{word} failed")
    assert account.pk
    return row


def _trial(row: Athlete, word: str) -> Trial:
    days = {"first_day": stored.TODAY, "last_day": stored.TODAY, "skip_days": 5, "read_days": 2}
    told = {"verb": "soften", "form": "wax balm", "strength": word[-8:], "outcome": "sting", "model": word[-16:]}
    drawn = {"pairs": 6, "seed": 1, "pair_sd": 1.0, "starts": [word]}
    kinds = {"lower_is_better": True, "hands": False, "hidden": False}
    return Trial.objects.create(athlete=row, made_at=NOW, **days, **told, **drawn, **kinds)


def sing_everywhere(row: Athlete, number: int) -> None:
    """The same word in every free text of the athlete's that is still without it; no page is shown any more."""
    word, account = f"{CANARY}{number}", Account.objects.get(username=f"{CANARY}{number}login")
    Authenticator.objects.create(user=account, type="totp", data={"secret": word})
    EmailAddress.objects.create(user=account, email=f"{word}@example.org")
    SignedIn.objects.create(session_key=word, account=account, session_data=word, expire_date=NOW)
    ApiToken.objects.create(account=account, prefix=f"{number:012}", label=word, made_at=NOW, expires_at=NOW)
    PushAddress.objects.create(account=account, endpoint=word, digest=f"{number:064}", p256dh="", auth="", made_at=NOW)
    BrokenGlass.objects.create(athlete=row, person=1, person_name=word, reason=word, opened_at=NOW, ends_at=NOW)
    days = {"made_on": stored.TODAY, "target_day": stored.TODAY, "until_day": stored.TODAY, "made_at": NOW}
    chances = dict.fromkeys(("p", "low", "high", "p_skin"), 0.5)
    KeptForecast.objects.create(athlete=row, event_id=9, model="m", told={"why": word}, **days, **chances)
    there = {model._meta.db_table: model for model in apps.get_models()}
    for column in text_columns_without(word):
        table, name = column.split(".")
        field = next(one for one in there[table]._meta.concrete_fields if one.column == name)
        keys = erasing.rows_of(row.id).get(there[table], set())
        value = [word] if isinstance(field, JSONField) else word
        there[table]._base_manager.filter(pk__in=keys).update(**{field.name: value})


def in_tables(word: str = CANARY) -> list[str]:
    """Columns of the database that hold the word."""
    found = []
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            columns = [c.name for c in connection.introspection.get_table_description(cursor, table)]
            found += [f"{table}.{column}" for column in columns if _holds(table, column, word)]
    return found


def _holds(table: str, column: str, word: str) -> bool:
    with connection.cursor() as cursor:
        where = f'CAST("{column}" AS text) LIKE %s'
        cursor.execute(f'SELECT count(*) FROM "{table}" WHERE {where}', [f"%{word}%"])  # noqa: S608
        return bool(cursor.fetchone()[0])


def in_files(folder: Path, word: str = CANARY) -> list[str]:
    """Files under the folder whose bytes hold the word."""
    files = (path for path in sorted(folder.rglob("*")) if path.is_file())
    return [path.name for path in files if word.encode() in path.read_bytes()]


def dumped(name: str) -> str:
    """What pg_dump writes of the database."""
    command = ["pg_dump", "-h", "127.0.0.1", "-U", "postgres", "-w", name]  # noqa: S607
    return subprocess.run(command, capture_output=True, text=True, check=True, timeout=60).stdout  # noqa: S603


def text_columns_without(word: str) -> list[str]:
    """Free text of the athlete's rows in which the canary does not sing, so that no column is left unwatched."""
    quiet = []
    for model in sorted(erasing.reaching_the_athlete(), key=lambda one: one._meta.db_table):
        for field in model._meta.concrete_fields:
            if isinstance(field, TextField | JSONField) or (isinstance(field, CharField) and field.max_length >= 200):
                if not _holds(model._meta.db_table, field.column, word):
                    quiet.append(f"{model._meta.db_table}.{field.column}")
    return quiet

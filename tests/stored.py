"""A squad in the database with conclusions as they would be stored, made from the hand-made values of `shown_cast`.

Nothing is computed here: these rows serve tests of who is shown what, and in how many queries.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from allauth.mfa.models import Authenticator

from athletes.records import choices
from athletes.records.models import Account, Athlete, Club, Consent, Entry, Event, Membership, Person, Role, Squad
from coaching.ledger import staleness, store
from coaching.ledger.codec import plain
from coaching.rules.conclusions import AthleteConclusion
from coaching.usecases.shown import AthleteShown
from tests import shown_cast as cast

NOW = datetime(2027, 3, 11, 9, tzinfo=UTC)
TODAY = cast.AS_OF
YESTERDAY = TODAY - timedelta(days=1)
ADULT, MINOR = date(2003, 5, 14), date(2012, 5, 14)
PURPOSES = {"head-coach": "coaching", "assistant": "coaching", "medical": "medical", "manager": "travel"}


def squad(code: str = "hall") -> Squad:
    club, _ = Club.objects.get_or_create(name="Club")
    return Squad.objects.create(club=club, code=code, name=code)


def athletes(codes: Sequence[str], of: Squad, born: date = ADULT) -> list[Athlete]:
    rows = Athlete.objects.bulk_create([Athlete(code=c, name=f"Athlete {c}", birth_date=born) for c in codes])
    Membership.objects.bulk_create([Membership(squad=of, athlete=row) for row in rows])
    return rows


def login(role: str, of: Squad | None = None, over: Iterable[Athlete] = (), second: bool = True) -> Account:
    """An account of a new person with the role in the squad, or over each of the athletes; with a second factor where
    the role asks for one, unless told otherwise.
    """
    n = Person.objects.count()
    person = Person.objects.create(code=f"p{n}", name=f"Person {n}")
    for athlete in list(over) or [None]:
        Role.objects.create(person=person, role=role, squad=of, athlete=athlete)
    account = Account.objects.create(username=f"u{n}", person=person)
    if second and role in choices.SECOND_FACTOR_ROLES:
        Authenticator.objects.create(user=account, type="totp", data={"secret": ""})
    return account


def share(rows: Iterable[Athlete], classes: Iterable[str] = choices.DATA_CLASSES, role: str = "head-coach") -> None:
    common = {"grantee_role": role, "purpose": PURPOSES[role], "given_on": YESTERDAY}
    classes = list(classes)
    Consent.objects.bulk_create([Consent(athlete=row, data_class=c, **common) for row in rows for c in classes])


def event(code: str = "lindmark-cup") -> Event:
    first = cast.CUP.first_day
    common = {"kind": "competition", "first_day": first, "last_day": first, "timezone": "Europe/Stockholm"}
    return Event.objects.create(code=code, name=cast.CUP.name, **common)


def conclude(rows: Sequence[Athlete], at: Event, shown: AthleteShown | None = None) -> None:
    """Enter the athletes and store the same conclusions for each, of today and of the day before."""
    Entry.objects.bulk_create([Entry(event=at, athlete=row) for row in rows])
    found = shown or cast.athlete()
    staleness.raise_for([row.id for row in rows], NOW)
    store.save_past([_row(row, at, found, YESTERDAY) for row in rows], NOW)
    due = NOW + timedelta(hours=14)
    store.save(
        [store.Stored(staleness.Due(row.id, 1), _row(row, at, found, TODAY), due) for row in rows], NOW
    )


def _row(athlete: Athlete, at: Event, shown: AthleteShown, as_of: date) -> store.AthleteRow:
    body = AthleteConclusion(
        athlete.code, shown.medical, shown.known_until, shown.today, shown.limits, shown.steps, shown.refused, ()
    )
    entries = tuple(
        store.EntryRow(
            at.id, e.level, e.p or 0.0, e.low, e.high, e.bar_frac, at.first_day, at.last_day,
            plain(replace(e, event=replace(e.event, code=at.code), level_before=None, p_before=None)),
        )
        for e in shown.entries
    )  # fmt: skip
    return store.AthleteRow(
        athlete.id, as_of, shown.model, shown.rulebook, "0" * 64, shown.medical, shown.today.may_climb,
        shown.known_until, plain(body), plain(shown.picture), entries,
    )  # fmt: skip


def withdraw(on: date = TODAY, **which: object) -> None:
    """Take back every word that is found by `which`."""
    words = Consent.objects.filter(ends__isnull=True, ended_by__isnull=True, **which)
    told = ("athlete_id", "grantee_role", "data_class", "purpose")
    Consent.objects.bulk_create(
        [Consent(given_on=on, ends=word, **{name: getattr(word, name) for name in told}) for word in words]
    )

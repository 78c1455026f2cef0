"""Accounts of people in the records."""

from __future__ import annotations

from django.contrib.auth.hashers import make_password

from athletes.records import choices, joining
from athletes.records.errors import BadInput, NotFound
from athletes.records.models import Account, Person, Role


def _first_roles() -> dict[int, str]:
    """The role each person is known by: the first in the glossary's order."""
    found: dict[int, str] = {}
    for person_id, role in Role.objects.values_list("person_id", "role"):
        best = found.setdefault(person_id, role)
        found[person_id] = min(best, role, key=choices.ROLES.index)
    return found


def make_demo(password: str) -> None:
    """A demo login for each person without one, all with the same password, hashed once."""
    hashed = make_password(password)
    people = Person.objects.filter(account__isnull=True).order_by("code")
    Account.objects.bulk_create(
        [Account(username=p.code, person=p, password=hashed, demo=True, is_active=True) for p in people]
    )


def demo() -> list[tuple[str, str, str]]:
    """(username, role, name) of each demo login, by role in the glossary's order and name."""
    roles = _first_roles()
    rows = Account.objects.filter(demo=True, person__isnull=False).values_list(
        "username", "person_id", "person__name"
    )
    found = [(username, roles.get(person_id, "support"), name) for username, person_id, name in rows]
    return sorted(found, key=lambda row: (choices.ROLES.index(row[1]), row[2]))


def add(person_code: str, username: str, password: str) -> None:
    """A login for a person without one. Raises NotFound, or BadInput naming `password`, `username` or `person`."""
    person = Person.objects.filter(code=person_code).first()
    if person is None:
        raise NotFound
    if Account.objects.filter(person=person).exists():
        raise BadInput("person", "has a login already", person_code)
    account = Account(username=joining.checked_name(username), person=person)
    joining.set_password(account, password)
    account.save()


def by_name(username: str) -> int:
    """The account's key. Raises NotFound."""
    found = Account.objects.filter(username=username, is_active=True).values_list("pk", flat=True).first()
    if found is None:
        raise NotFound
    return int(found)

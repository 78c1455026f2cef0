"""The first club of an empty installation: a squad and its head coach, who can sign in."""

from __future__ import annotations

from django.db import transaction

from athletes.records import logins, writes_squad


def new_club(club: str, squad: str, coach: str, username: str, password: str) -> str:
    """Make all four or nothing; the code of the coach's person. Raises BadInput for a bad password or a taken name."""
    with transaction.atomic():
        code = writes_squad.make_club(club, squad, coach)
        logins.add(code, username, password)
    return code

"""A link opens once, also when many who hold it come at the same moment."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from athletes.records import links
from athletes.records.errors import NotFound
from athletes.records.models import Account, OneTimeLink
from coaching.usecases import invitations
from tests import databases, stored

MANY = 8
PASSWORD = "a quiet orange lamp post"


@pytest.fixture(params=["a SQLite file", pytest.param("PostgreSQL", marks=pytest.mark.service)])
def _shared(request: Any, tmp_path: Path, django_db_blocker: Any) -> Iterator[None]:
    here = databases.filed(tmp_path) if "SQLite" in request.param else databases.served()
    with django_db_blocker.unblock(), here:
        yield


def test_of_many_who_found_it_standing_one_comes_in(_shared: None, monkeypatch: pytest.MonkeyPatch) -> None:
    text = invitations.invite_as_operator(stored.squad().code, "assistant", "Ida Berg", None)
    found, met = links.find, threading.Barrier(MANY)

    def together(*asked: Any) -> OneTimeLink | None:
        row = found(*asked)
        met.wait(30)
        return row

    def comes() -> str | None:
        try:
            return str(invitations.join(text, f"n{threading.get_ident()}", PASSWORD).username)
        except NotFound:
            return None

    monkeypatch.setattr(links, "find", together)
    came = [name for name in databases.at_once(comes, MANY) if name]
    assert len(came) == 1 and list(Account.objects.values_list("username", flat=True)) == came

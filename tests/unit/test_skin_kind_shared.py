"""The kind of skin is of health: whoever heads the squad reads it, and writes over it, only where the athlete shares
their check-ins. What else stands on the roster is the club's own.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
import time_machine
from django.test import Client

from athletes.records import access, queries_squad
from athletes.records.models import Athlete, Correction
from tests import stored

pytestmark = pytest.mark.django_db
PROFILE = {"name": "Ada Ferro", "birth_date": "2009-04-30", "timezone": "Europe/Vienna", "dominant_hand": "right"}


@pytest.fixture(autouse=True)
def _now() -> Iterator[None]:
    with time_machine.travel(stored.NOW, tick=False):
        yield


@pytest.fixture
def coach() -> Client:
    """The head coach of an athlete whose skin is damp, of whom nothing is shared."""
    squad = stored.squad()
    stored.athletes(["a1"], squad)
    Athlete.objects.update(skin_kind="damp", timezone="Europe/Vienna")
    found = Client()
    found.force_login(stored.login("head-coach", squad))
    return found


def athlete() -> Athlete:
    return Athlete.objects.get(code="a1")


def share(*classes: str) -> None:
    stored.share([athlete()], classes)


@pytest.mark.parametrize(("classes", "seen"), [
    ((), False), (("level",), False), (("level", "notes", "photos", "damage"), False), (("checkins",), True),
])  # fmt: skip
def test_it_is_read_where_check_ins_are_shared(coach: Client, classes: tuple[str, ...], seen: bool) -> None:
    share(*classes)
    page = coach.get("/squad/a1").content.decode()
    assert ('value="damp" selected' in page, "Kind of skin: not shared" in page) == (seen, not seen)
    assert ('name="skin_kind"' in page) == seen
    viewer = access.viewer_for(stored.Account.objects.get(), stored.TODAY)
    assert queries_squad.member(viewer, "a1").skin_kind == ("damp" if seen else "")


def test_to_the_assistants_alone_is_not_to_the_head_coach(coach: Client) -> None:
    stored.share([athlete()], ["checkins"], role="assistant")
    assert b"Kind of skin: not shared" in coach.get("/squad/a1").content


@pytest.mark.parametrize("sent", [{}, {"skin_kind": ""}, {"skin_kind": "dry"}])
def test_where_it_is_not_shared_a_change_of_the_rest_leaves_it(coach: Client, sent: dict[str, Any]) -> None:
    assert coach.post("/squad/a1", {**PROFILE, **sent}).status_code == 302
    assert (athlete().name, athlete().skin_kind) == ("Ada Ferro", "damp")
    assert Correction.objects.count() == 1


@pytest.mark.parametrize(("sent", "stands"), [("dry", "dry"), ("", "")])
def test_where_it_is_shared_it_is_put_right(coach: Client, sent: str, stands: str) -> None:
    share("checkins")
    assert coach.post("/squad/a1", {**PROFILE, "skin_kind": sent}).status_code == 302
    assert athlete().skin_kind == stands

"""A sample in one press, gone in one press: marked, alone, and nothing left of it in any table."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
import time_machine
from django.apps import apps
from django.test import Client

from athletes.records.models import Athlete, Erased, Membership, Squad
from coaching.usecases import sample
from tests import stored

KEPT = {"records_erased", "records_accesslog", "records_accessscope", "django_session", "records_signedin",
        "records_tried"}  # fmt: skip
"""What stays on purpose: that somebody was erased, by a number and a digest, and what was asked by whom."""


@pytest.fixture(autouse=True)
def _now() -> Iterator[None]:
    with time_machine.travel(stored.NOW, tick=False):
        yield


@pytest.fixture(autouse=True)
def _ledger(settings: pytest.FixtureRequest, tmp_path: object) -> None:
    settings.TENPADS_ERASURES = tmp_path / "erasures.jsonl"  # type: ignore[attr-defined,operator]


def client(account: object) -> Client:
    found = Client()
    found.force_login(account)  # type: ignore[arg-type]
    return found


def counts() -> dict[str, int]:
    return {m._meta.db_table: m._default_manager.count() for m in apps.get_models() if m._meta.db_table not in KEPT}


def press(asker: Client, action: str) -> object:
    return asker.post("/squad", {"action": action})


@pytest.mark.django_db
def test_it_comes_in_one_press_marked_and_goes_in_one_with_all_of_it() -> None:
    asker = client(stored.login("head-coach", stored.squad()))
    assert "Show a sample" in asker.get("/squad").content.decode()
    before = counts()
    assert press(asker, "sample").status_code == 302  # type: ignore[attr-defined]
    squad = Squad.objects.get(sample=True)
    names = list(Athlete.objects.values_list("name", flat=True))
    assert len(names) == len(sample.ATHLETES) and all(name.endswith(" (sample)") for name in names)
    shown = asker.get("/squad").content.decode()
    assert "These people are invented." in shown and shown.count("(sample)") >= len(names)
    assert counts()["records_checkin"] > 100 and counts()["records_event"] == 3
    assert press(asker, "gone").status_code == 302  # type: ignore[attr-defined]
    assert not Squad.objects.filter(pk=squad.pk).exists()
    assert {name: (n, before[name]) for name, n in counts().items() if n != before[name]} == {}
    assert Erased.objects.count() == len(sample.ATHLETES)  # by the erasing that real people have


@pytest.mark.django_db
def test_it_is_never_put_beside_somebody_real() -> None:
    squad = stored.squad()
    asker = client(stored.login("head-coach", squad))
    press(asker, "sample")
    told = {"action": "add", "squad": squad.code, "name": "Real", "timezone": "UTC"}
    asker.post("/squad", told)
    asker.post("/squad", {"action": "store", "squad": squad.code, "text": "name\nReal\n"})
    assert not Athlete.objects.filter(name="Real").exists()
    assert press(asker, "sample").status_code == 404  # type: ignore[attr-defined]
    press(asker, "gone")
    asker.post("/squad", told)
    assert Athlete.objects.filter(name="Real").exists()
    assert press(asker, "sample").status_code == 404  # type: ignore[attr-defined]
    assert "Show a sample" not in asker.get("/squad").content.decode()


@pytest.mark.django_db
def test_each_has_their_own_and_takes_away_their_own() -> None:
    one, two = (client(stored.login("head-coach", stored.squad(code))) for code in ("one", "two"))
    press(one, "sample")
    press(two, "sample")
    assert Squad.objects.filter(sample=True).count() == 2
    press(one, "gone")
    assert Squad.objects.filter(sample=True).count() == 1
    assert Athlete.objects.count() == len(sample.ATHLETES)
    assert press(one, "gone").status_code == 404  # type: ignore[attr-defined]


@pytest.mark.django_db
def test_whoever_is_in_another_squad_too_is_not_erased_with_it() -> None:
    home = stored.squad()
    asker = client(stored.login("head-coach", home))
    press(asker, "sample")
    kept = Athlete.objects.get(name__startswith="Nkechi")
    Membership.objects.create(squad=home, athlete=kept)
    press(asker, "gone")
    assert list(Athlete.objects.values_list("pk", flat=True)) == [kept.pk]


@pytest.mark.django_db
@pytest.mark.parametrize("role", ["assistant", "medical", "manager"])
def test_only_a_head_coach_has_the_press(role: str) -> None:
    account = stored.login(role, stored.squad())
    assert press(client(account), "sample").status_code == 404  # type: ignore[attr-defined]
    assert not Squad.objects.filter(sample=True).exists()


@pytest.mark.django_db
def test_nobody_is_invited_to_be_an_invented_athlete() -> None:
    asker = client(stored.login("head-coach", stored.squad()))
    press(asker, "sample")
    key = Athlete.objects.get(name__startswith="Nkechi").pk
    assert "(sample)" not in asker.get("/people").content.decode()
    assert "invite a" not in asker.get("/squad").content.decode()
    assert asker.post("/people", {"act": f"invite a{key}"}).status_code == 404

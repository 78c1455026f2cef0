"""Signing in under fire: never more tries than the limit however many come at once, and nothing told about who exists.

Planted bugs stand beside: a count that looks before it counts, a backend that returns early, a hash that takes more
memory. Times are compared as ratios of processor time within one run; none is held to a number of seconds.
"""

from __future__ import annotations

import re
import resource
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from statistics import median
from typing import Any

import pytest
from django.contrib.auth.hashers import Argon2PasswordHasher
from django.test import Client, override_settings

from athletes.records.models import Account
from coaching.config.door import LoopbackBackend
from coaching.config.hashing import Argon2
from coaching.usecases import limits
from tests import counting, databases, stored
from tests.api_calls import GOOD, post

PASSWORD, WRONG = "a quiet orange lamp post", "a quiet orange lamp host"
ELSEWHERE = "192.0.2.7"
TRIALS = 5
PAIRS = 50
SAME_WITHIN = 0.05
"""By so much the time for a name that exists may differ from that for one that does not; more can be told from afar."""
PARALLEL, MOST_MB = 20, 500


def tried(name: str, password: str = WRONG, **where: str) -> Any:
    return Client(**where).post("/login", {"username": name, "password": password})


# --- the limit


@pytest.fixture(params=counting.STORES)
def store(request: Any, tmp_path: Path, django_db_blocker: Any) -> Iterator[str]:
    with django_db_blocker.unblock(), counting.store(request.param, tmp_path):
        with override_settings(PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"]):
            yield request.param


def statuses(name: str) -> Counter[int]:
    return Counter(databases.at_once(lambda: tried(name).status_code, counting.AT_ONCE))


@pytest.mark.service
def test_of_64_at_once_ten_are_tried_and_all_others_turned_away(store: str) -> None:
    most = limits.SIGN_IN.most
    found = [statuses(f"name {n}") for n in range(TRIALS)]
    assert found == [Counter({422: most, 429: counting.AT_ONCE - most})] * TRIALS


@pytest.mark.service
def test_planted_a_count_that_looks_first_lets_more_through(
    tmp_path: Path, django_db_blocker: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: dict[str, int] = {}
    met: dict[str, threading.Barrier] = {}

    def looks_first(what: str, window_s: int) -> tuple[int, int]:
        times = seen.get(what, 0)
        met.setdefault(what, threading.Barrier(counting.AT_ONCE)).wait(30)
        seen[what] = times + 1
        return times + 1, window_s

    monkeypatch.setattr(limits, "_count", looks_first)
    with django_db_blocker.unblock(), counting.store("a SQLite file", tmp_path):
        with override_settings(PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"]):
            assert statuses("somebody")[422] > limits.SIGN_IN.most


@pytest.mark.django_db
def test_with_the_counts_away_nobody_signs_in_and_check_ins_arrive() -> None:
    athlete = stored.login("athlete", None, stored.athletes(["a1"], stored.squad()))
    inside = Client()
    inside.force_login(athlete)
    with override_settings(TENPADS_REDIS_URL=counting.NOWHERE):
        assert tried(athlete.username).status_code == 503
        assert post(inside, GOOD | {"local_date": time.strftime("%Y-%m-%d")}).status_code == 201


# --- who exists


@pytest.fixture
def names(db: Any, monkeypatch: pytest.MonkeyPatch) -> dict[str, Callable[[], Any]]:
    """Ways to be refused, by a name as long as every other; tries are not counted here."""
    monkeypatch.setattr(limits, "allowed", lambda *of: 0)
    squad = stored.squad()
    for name, options in (("known1", {}), ("closed", {"is_active": False}), ("invent", {"demo": True})):
        row = stored.login("athlete", None, stored.athletes([name], squad))
        row.set_password(PASSWORD)
        row.save()
        Account.objects.filter(pk=row.pk).update(username=name, **options)
    return {
        "known1": lambda: tried("known1", REMOTE_ADDR=ELSEWHERE),
        "nobody": lambda: tried("nobody", REMOTE_ADDR=ELSEWHERE),
        "closed": lambda: tried("closed", PASSWORD, REMOTE_ADDR=ELSEWHERE),
        "invent": lambda: tried("invent", PASSWORD, REMOTE_ADDR=ELSEWHERE),
    }


def told(answer: Any, name: str) -> tuple[int, str, dict[str, str]]:
    """What the answer says, but for the name that was typed and what is made anew each time."""
    body = re.sub(r'name="csrfmiddlewaretoken" value="\w+"', "", answer.content.decode()).replace(name, "")
    return answer.status_code, body, {k: v for k, v in answer.items() if k not in ("Set-Cookie", "Expires")}


@pytest.fixture
def hashes(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Each hash that is computed."""
    return counting.hashes_counted(monkeypatch)


def hashed_each(names: dict[str, Callable[[], Any]], hashes: list[str]) -> dict[str, int]:
    found: dict[str, int] = {}
    for name, ask in names.items():
        hashes.clear()
        ask()
        found[name] = len(hashes)
    return found


def test_every_refusal_says_the_same_and_costs_one_hash(
    names: dict[str, Callable[[], Any]], hashes: list[str]
) -> None:
    said = {name: told(ask(), name) for name, ask in names.items()}
    for one in said.values():
        assert one == said["nobody"]
    assert hashed_each(names, hashes) == dict.fromkeys(names, 1)


def apart(names: dict[str, Callable[[], Any]]) -> float:
    """How far from 1 the ratio of the two is: the median over pairs asked one right after the other, so that what else
    runs on the machine meets both; in this thread's processor time.
    """
    known, nobody = ([], [])
    for _ in range(PAIRS):
        known.append(spent(names["known1"]))
        nobody.append(spent(names["nobody"]))
    ratio = median(a / b for a, b in zip(known, nobody, strict=True))
    print(f"\nknown {median(known) * 1e3:.2f} ms, nobody {median(nobody) * 1e3:.2f} ms of processor time, {ratio:.3f}")
    return abs(ratio - 1)


def spent(ask: Callable[[], Any]) -> float:
    began = time.thread_time()
    ask()
    return time.thread_time() - began


def test_a_name_that_exists_takes_no_longer_to_refuse(names: dict[str, Callable[[], Any]]) -> None:
    assert apart(names) < SAME_WITHIN


def test_planted_a_backend_that_returns_early_is_found(
    names: dict[str, Callable[[], Any]], hashes: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def early(self: Any, request: Any, username: str = "", password: str = "") -> Any:
        row = Account.objects.filter(username=username).first()
        return row if row is not None and row.check_password(password) else None

    monkeypatch.setattr(LoopbackBackend, "authenticate", early)
    assert hashed_each(names, hashes)["nobody"] == 0
    assert apart(names) > SAME_WITHIN


# --- memory


def raised_mb(hasher: Argon2PasswordHasher) -> float:
    """How much so many hashes at once raise what this process holds, at most."""
    page, over = resource.getpagesize(), threading.Event()
    held: list[int] = []

    def watch() -> None:
        while not over.is_set():
            held.append(int(Path("/proc/self/statm").read_text().split()[1]) * page)
            time.sleep(0.004)

    watching = threading.Thread(target=watch)
    watching.start()
    time.sleep(0.02)
    databases.at_once(lambda: hasher.encode(PASSWORD, "a salt of this test"), PARALLEL)
    over.set()
    watching.join()
    return (max(held) - held[0]) / 1e6


class Dearer(Argon2):
    memory_cost = 40 * 1024


@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="what a process holds is read from /proc")
def test_twenty_sign_ins_at_once_stay_under_500_mb_and_a_dearer_hash_does_not() -> None:
    ours, planted = raised_mb(Argon2()), raised_mb(Dearer())
    print(f"\n{PARALLEL} at once: {ours:.0f} MB; with 40 MiB a hash: {planted:.0f} MB")
    assert ours < MOST_MB < planted

"""Parts of the scale path die under load, and nothing that was acknowledged is lost or done twice.

Every server here was started by the tests themselves. TENPADS_KILLS=20 runs more seeds than the suite does.
"""

from __future__ import annotations

import os
import random
import signal
import threading
import time
from collections.abc import Iterator
from contextlib import suppress
from datetime import timedelta
from typing import Any

import pytest

from coaching.ledger.staleness import CLAIM_S
from coaching.usecases import clock
from tests.journey.own_servers import until
from tests.journey.scaled import Club, Sent, days_back

pytestmark = [pytest.mark.service, pytest.mark.slow, pytest.mark.xdist_group("own-servers")]
KILLS = int(os.environ.get("TENPADS_KILLS", "3"))
CALM = 100
"""Between the seed of the answers that nobody disturbs and of those that somebody does."""
QUICK_S = 1.0


@pytest.fixture(scope="module")
def club(tmp_path_factory: pytest.TempPathFactory, django_db_blocker: Any) -> Iterator[Club]:
    with django_db_blocker.unblock():
        made = Club(tmp_path_factory.mktemp("club"))
        try:
            made.start()
            yield made
        finally:
            made.stop()


def answers(club: Club, seed: int, most: int = 12) -> list[Sent]:
    """Check-ins of several athletes, one after the other, on days that hang on the seed."""
    chance = random.Random(seed)
    today = clock.now().date()
    codes = chance.sample(club.codes, min(most, len(club.codes)))
    return [club.check_in(code, days_back(today, seed), chance.randint(0, 10)) for code in codes]


def refused(sent: list[Sent]) -> list[Sent]:
    return [one for one in sent if not one.acknowledged]


def kill_inside(club: Club, chance: random.Random, whole: bool) -> bool:
    """Kill while a claim stands; True where one in hand then was in hand still when its process was dead."""
    until(club.in_hand, 20, 0.005)
    time.sleep(chance.uniform(0, 0.05))
    before = club.in_hand()
    if whole:
        club.worker.kill_group()
    else:
        with suppress(ProcessLookupError):
            os.kill(chance.choice(club.worker.children()), signal.SIGKILL)
    return bool(before & club.in_hand())


@pytest.mark.parametrize("seed", range(KILLS))
def test_a_kill_inside_a_computation_loses_and_repeats_nothing(club: Club, seed: int) -> None:
    """Every third seed kills the worker with all its children, the others one child of the pool."""
    chance, whole = random.Random(seed), seed % 3 == 2
    assert refused(answers(club, seed + CALM)) == []
    calm, landed = club.current(), False
    for _ in range(5):  # a computation may end just before the signal arrives
        assert refused(answers(club, seed)) == []
        landed = kill_inside(club, chance, whole)
        if whole:
            club.worker.start()
        if landed:
            break
    took = club.current()
    what = "worker" if whole else "child"
    print(f"seed {seed}: {what} killed inside, current after {took:.1f} s, in peace {calm:.1f} s")
    assert landed
    if not whole:  # handed out again and taken over, not found only after its claim had run out
        assert took < CLAIM_S * 2 / 3 + 2 * calm  # as many athletes in peace, on this machine and in this minute
    club.check()


def test_a_queue_that_comes_back_empty_loses_nothing(club: Club) -> None:
    club.worker.kill_group()
    assert refused(answers(club, 31)) == []
    club.redis.stop()
    club.redis.start()
    club.worker.start()
    print(f"Redis empty: current after {club.current():.1f} s")
    club.check()


def test_check_ins_are_answered_while_the_queue_is_away(club: Club) -> None:
    club.redis.stop()
    try:
        sent = answers(club, 32, most=24)
    finally:
        club.redis.start()
    slowest = max(one.took_s for one in sent)
    print(f"Redis away: slowest answer {slowest:.3f} s; current after {club.current():.1f} s")
    assert refused(sent) == [] and slowest < QUICK_S
    club.check()


def load(club: Club, ended: threading.Event, codes: list[str]) -> None:
    """Check-ins without a pause, each day and athlete once, one that was not acknowledged again later."""
    today, n = clock.now().date(), 0
    while not ended.is_set():
        club.check_in(codes[n % len(codes)], today - timedelta(days=1 + n // len(codes) % 28), n % 11)
        n += 1


def test_a_database_restarted_at_once_under_load_keeps_what_was_acknowledged(club: Club) -> None:
    ended, first = threading.Event(), len(club.sent)
    threads = [threading.Thread(target=load, args=(club, ended, club.codes[k::4])) for k in range(4)]
    for thread in threads:
        thread.start()
    time.sleep(1.5)
    club.postgres.restart_at_once()
    back = time.monotonic()
    before = len(club.sent)
    until(lambda: any(one.acknowledged for one in club.sent[before:]), 10)
    again_s = time.monotonic() - back
    time.sleep(1.5)
    ended.set()
    for thread in threads:
        thread.join(40)
    sent = club.sent[first:]
    count = {status: sum(one.status == status for one in sent) for status in {one.status for one in sent}}
    print(f"PostgreSQL restarted: {count}; acknowledged again {again_s:.2f} s after; current {club.current():.1f} s")
    assert set(count) <= {200, 201, 503} and count.get(503)
    assert all(one.retry_after for one in sent if one.status == 503)
    club.check()

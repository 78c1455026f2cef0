"""64 tries at once out of four processes, five times: never more than ten are let through, whoever counts.

One process proves little: what is safe among threads may be a variable that other processes do not share, and a count
that looks first and writes later lets through what it should not (the planted bug). The measure of this house: 10 a
minute, 64 at once, 4 processes.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
import redis
from django.db import connection

from coaching.usecases import limits
from tests import counting

ROOT = Path(__file__).parents[2]
PROCESSES, TRIALS, AHEAD_S = 4, 5, 0.5
pytestmark = pytest.mark.service


def url() -> str:
    told = connection.settings_dict
    if connection.vendor == "sqlite":
        return f"sqlite:///{told['NAME']}"
    return f"postgres://{told['USER']}@{told['HOST']}:{told['PORT']}/{told['NAME']}"


@contextmanager
def processes(folder: Path, on_redis: bool, *words: str) -> Iterator[list[subprocess.Popen[str]]]:
    env = {k: v for k, v in os.environ.items() if not k.startswith("TENPADS_")}
    env |= {"TENPADS_DATA": str(folder), "TENPADS_DATABASE_URL": url(), "COACHING_NO_BOOTSTRAP": "1"}
    env |= {"TENPADS_REDIS_URL": counting.REDIS} if on_redis else {}
    command = [sys.executable, "-m", "tests.bars.tries_apart", *words]
    pipes: Any = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "stderr": subprocess.DEVNULL}
    running = [subprocess.Popen(command, cwd=ROOT, env=env, text=True, **pipes) for _ in range(PROCESSES)]
    try:
        for one in running:
            assert one.stdout and one.stdout.readline() == "ready\n"
        yield running
    finally:
        for one in running:
            one.kill()
            one.wait(20)


def trial(running: list[subprocess.Popen[str]], n: int) -> Counter[str]:
    """How the tries of one trial were answered, of an account and a network of its own."""
    line = f"somebody-{uuid4().hex[:8]} 192.0.{n}.7 {time.time() + AHEAD_S}\n"
    for one in running:
        assert one.stdin
        one.stdin.write(line)
        one.stdin.flush()
    found: Counter[str] = Counter()
    for one in running:
        assert one.stdout
        found.update(json.loads(one.stdout.readline()))
    return found


def tried(which: str, folder: Path, *words: str) -> list[Counter[str]]:
    before = set(redis.Redis.from_url(counting.REDIS).scan_iter("tenpads:tried:*")) if which == "Redis" else set()
    try:
        with counting.store(which, folder), processes(folder, which == "Redis", *words) as running:
            return [trial(running, n) for n in range(TRIALS)]
    finally:
        if which == "Redis":  # processes count under the product's own name, each test under another
            store = redis.Redis.from_url(counting.REDIS)
            for key in set(store.scan_iter("tenpads:tried:*")) - before:
                store.delete(key)


@pytest.mark.parametrize("which", ["PostgreSQL", "Redis"])
def test_of_64_out_of_four_processes_no_more_than_ten_are_tried(
    which: str, tmp_path: Path, django_db_blocker: Any
) -> None:
    with django_db_blocker.unblock():
        found = tried(which, tmp_path)
    print(f"{which}: {[dict(one) for one in found]}")
    most = limits.SIGN_IN.most
    assert found == [Counter({"422": most, "429": counting.AT_ONCE - most})] * TRIALS


def test_planted_a_count_that_looks_first_lets_more_through(tmp_path: Path, django_db_blocker: Any) -> None:
    with django_db_blocker.unblock():
        found = tried("Redis", tmp_path, "planted")
    print(f"planted: {[dict(one) for one in found]}")
    assert max(one["422"] for one in found) > limits.SIGN_IN.most

"""Where tries are counted: a SQLite file, PostgreSQL or Redis, each of its own; one that is away is skipped with its
reason. And what a try costs.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
import redis
from django.contrib.auth.hashers import Argon2PasswordHasher
from django.test import override_settings

from coaching.config.hashing import Argon2
from coaching.usecases import limits
from tests import databases

REDIS = "redis://127.0.0.1:6379/9"
NOWHERE = "redis://127.0.0.1:1/0"
STORES = ("a SQLite file", "PostgreSQL", "Redis")
AT_ONCE = 64


@contextmanager
def store(which: str, folder: Path) -> Iterator[None]:
    """Counts go to the store, everything else to a database that threads can share."""
    if which == "Redis":
        _answering()
    with databases.served() if which == "PostgreSQL" else databases.filed(folder):
        with override_settings(TENPADS_REDIS_URL=REDIS if which == "Redis" else None):
            yield
    if which == "Redis":
        keys = redis.Redis.from_url(REDIS)
        for key in keys.scan_iter(limits.PREFIX + "*"):
            keys.delete(key)


def _answering() -> None:
    try:
        redis.Redis.from_url(REDIS, socket_connect_timeout=2).ping()
    except redis.RedisError as error:
        pytest.skip(f"no Redis on 127.0.0.1:6379: {error}")


def hashes_counted(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Each hash that is computed from now on: what a sign-in costs is these."""
    done: list[str] = []
    for name in ("encode", "verify"):
        real = getattr(Argon2PasswordHasher, name)

        def noted(self: Any, *args: Any, _real: Any = real, _name: str = name) -> Any:
            done.append(_name)
            return _real(self, *args)

        monkeypatch.setattr(Argon2, name, noted, raising=False)
    return done

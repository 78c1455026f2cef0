"""One of several processes that try to sign in: for each line it is sent, sixteen tries at the instant that it says.

    python -m tests.bars.tries_apart [planted]

A line is a name, an address and seconds since 1970; the answer to it is how many tries were answered how. `planted`
puts a count in that looks first and writes afterwards.
"""

from __future__ import annotations

import json
import os
import sys
import threading
import time
from collections import Counter

THREADS = 16


def main(words: list[str]) -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coaching.config.settings")
    import django

    django.setup()
    from django.db import connections
    from django.test import Client, override_settings
    from django.test.utils import setup_test_environment

    from coaching.usecases import limits

    setup_test_environment()
    if words:
        limits._count = looks_first  # type: ignore[assignment]
    print("ready", flush=True)
    with override_settings(PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"]):
        for line in sys.stdin:
            name, address, at = line.split()
            found: list[int] = []

            def attempt(name: str = name, address: str = address, at: str = at, found: list[int] = found) -> None:
                client = Client(REMOTE_ADDR=address)
                time.sleep(max(0.0, float(at) - time.time()))
                found.append(client.post("/login", {"username": name, "password": "wrong words here"}).status_code)
                connections.close_all()

            threads = [threading.Thread(target=attempt) for _ in range(THREADS)]
            for thread in threads:
                thread.start()
            for thread in threads:
                thread.join()
            print(json.dumps(Counter(map(str, found))), flush=True)


def looks_first(what: str, window_s: int) -> tuple[int, int]:
    """The planted bug: between the look and the note another process has looked too."""
    import redis
    from django.conf import settings

    from coaching.usecases import limits

    store = redis.Redis.from_url(settings.TENPADS_REDIS_URL)
    times = int(store.get(limits.PREFIX + what) or 0) + 1  # type: ignore[arg-type]
    store.set(limits.PREFIX + what, times, ex=window_s)
    return times, window_s


if __name__ == "__main__":
    main(sys.argv[1:])

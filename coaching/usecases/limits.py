"""How often something may be tried. One atomic count a try, in Redis where there is one and else in the database, and
always before anything that costs or tells.

What protects a secret is closed while its store is away; what an athlete sends in the morning stays open.
"""

from __future__ import annotations

import hmac
import logging
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from typing import Any

import redis
from django.conf import settings
from redis.backoff import NoBackoff
from redis.retry import Retry

from athletes.records import tries
from coaching.usecases import clock

log = logging.getLogger(__name__)
PREFIX = "tenpads:tried:"
WAIT_S = 1.0
COUNT = """
local times = redis.call('INCR', KEYS[1])
if times == 1 then redis.call('EXPIRE', KEYS[1], ARGV[1]) end
return {times, redis.call('TTL', KEYS[1])}
"""


class StoreAway(Exception):
    """The counts cannot be reached, and what was asked is not done without them."""


@dataclass(frozen=True)
class Limit:
    """So many tries in a window of so many seconds; `open_without_store` lets through what must not wait for it."""

    name: str
    most: int
    window_s: int
    open_without_store: bool = False


SIGN_IN = Limit("sign-in", 10, 60)
"""One account from one network: who mistypes has ten a minute, who guesses has no more."""
SIGN_IN_ACCOUNT = Limit("sign-in-account", 60, 600)
"""One account from everywhere, against guesses spread over many networks."""
SIGN_IN_NETWORK = Limit("sign-in-network", 60, 60)
"""One network over all accounts: a whole squad signs in from the same hall."""
LINK = Limit("link", 20, 60)
"""One network trying links of invitations and of new passwords."""
CODE = Limit("code", 600, 600)
"""Everybody together trying codes for another device."""
INVITE = Limit("invite", 60, 3600)
"""One account making links."""
EXPORT = Limit("export", 10, 3600)
"""One account taking copies away."""
FEED = Limit("feed", 60, 3600)
"""One address of a calendar, whether it stands or not."""
DEVICE = Limit("device", 120, 60, open_without_store=True)
"""One phone sending check-ins."""
LETTER = Limit("letter", 5, 86_400)
"""One account having letters sent to addresses that nobody has confirmed yet."""
CODE_ONCE = Limit("code-once", 1, 120)
"""One code of an authenticator for one account: good once, while it would be good at all."""


def allowed(limit: Limit, *of: object) -> int:
    """Count this try; 0 where it may go on, else the seconds to wait. Raises StoreAway."""
    what = _hashed(limit.name, *of)
    try:
        times, wait_s = _count(what, limit.window_s)
    except redis.RedisError as error:
        if limit.open_without_store:
            return 0
        log.warning("tries cannot be counted, so %s is closed: %s", limit.name, type(error).__name__)
        raise StoreAway from error
    return 0 if times <= limit.most else wait_s


def _count(what: str, window_s: int) -> tuple[int, int]:
    if not settings.TENPADS_REDIS_URL:
        return tries.count(what, window_s, int(clock.now().timestamp()))
    times, left_s = _script(settings.TENPADS_REDIS_URL)(keys=[PREFIX + what], args=[window_s])
    return int(times), max(1, int(left_s))


@cache
def _script(url: str) -> Any:
    waits = {"socket_timeout": WAIT_S, "socket_connect_timeout": WAIT_S, "retry": Retry(NoBackoff(), 0)}
    return redis.Redis.from_url(url, **waits).register_script(COUNT)


def _hashed(*of: object) -> str:
    """Whose tries are counted, in a form that names nobody."""
    return hmac.new(settings.SECRET_KEY.encode(), "\x1f".join(map(str, of)).encode(), sha256).hexdigest()

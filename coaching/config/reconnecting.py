"""A worker outlives the loss of its queue.

Seen with kombu 5.7.0: a worker that holds unacknowledged messages when Redis goes away closes its channel twice, and
the second closing asks a connection that is gone for its address. The AttributeError is none of the errors the worker
expects of a lost connection, so it ends. Here the same place raises one that it does expect.
"""

from __future__ import annotations

from typing import Any

from kombu.transport import redis as transport
from redis.exceptions import ConnectionError as Lost


class Channel(transport.Channel):  # type: ignore[misc]
    """The channel of Redis, which tells of a closed connection as what it is."""

    def _connparams(self, *args: Any, **options: Any) -> Any:
        if self.connection.client is None:
            raise Lost("the connection is closed")
        return super()._connparams(*args, **options)


def install() -> None:
    """Use it for all channels to Redis that are made from now on."""
    transport.Transport.Channel = Channel

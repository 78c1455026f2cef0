"""One careful question to another host: https, one address that is public and stays the same, no redirects, a size and
a time after which it is over. What comes back is not trusted further than its length.
"""

from __future__ import annotations

import http.client
import ipaddress
import socket
import ssl
import threading
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import TypeVar
from urllib.parse import urlsplit

TIMEOUT_S = 5.0
LARGEST = 2_000_000
Answer = TypeVar("Answer")


class Failed(Exception):
    """The question was not answered; `code` says how: address, hang, unreachable, redirect, status, too-large."""

    def __init__(self, code: str) -> None:
        super().__init__(code)
        self.code = code


@dataclass(frozen=True)
class Limits:
    """What is allowed; a test may allow its own server on this machine, nobody else may."""

    timeout_s: float = TIMEOUT_S
    largest: int = LARGEST
    local_plain: bool = False


@dataclass(frozen=True)
class Fetched:
    content_type: str
    expires: str
    body: bytes


@dataclass(frozen=True)
class Sent:
    """How something that was sent was taken."""

    status: int
    retry_after: str


def fetch(url: str, headers: Mapping[str, str], limits: Limits = Limits()) -> Fetched:  # noqa: B008 - frozen
    """Ask for a url. Raises Failed."""
    return _through(url, limits, lambda line, target: _asked(line, target, headers, limits))


def send(url: str, headers: Mapping[str, str], body: bytes, limits: Limits = Limits()) -> Sent:  # noqa: B008 - frozen
    """Send something to a url; nothing of the answer is read but how it was taken. Raises Failed."""

    def sent(line: _Pinned, target: str) -> Sent:
        line.request("POST", target, body, {"Accept-Encoding": "identity", **headers})
        answer = line.getresponse()
        return Sent(answer.status, answer.getheader("Retry-After", ""))

    return _through(url, limits, sent)


def _through(url: str, limits: Limits, ask: Callable[[_Pinned, str], Answer]) -> Answer:
    """What `ask` gets over a line to the one address of the url's host. Raises Failed."""
    parts = urlsplit(url)
    if parts.scheme != ("http" if limits.local_plain else "https") or not parts.hostname or parts.username:
        raise Failed("address")
    port = parts.port or (80 if limits.local_plain else 443)
    address = _address(parts.hostname, port, limits.local_plain)
    target = f"{parts.path or '/'}?{parts.query}" if parts.query else parts.path or "/"
    connection = _Pinned(parts.hostname, port, address, limits)
    # A server that sends one byte a second never runs into the time of a single read: the line is cut from outside.
    cut = threading.Timer(limits.timeout_s, connection.cut)
    cut.daemon = True
    cut.start()
    try:
        return ask(connection, target)
    except TimeoutError:
        raise Failed("hang") from None
    except (OSError, http.client.HTTPException, ValueError):
        raise Failed("hang" if connection.was_cut else "unreachable") from None
    finally:
        cut.cancel()
        connection.close()


def _address(host: str, port: int, local: bool) -> str:
    """One address of the host, which is then the one that is asked: resolved once, all of them public."""
    try:
        found = [str(row[4][0]) for row in socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)]
    except (OSError, UnicodeError):
        raise Failed("unreachable") from None
    public = [ipaddress.ip_address(one.split("%")[0]).is_global for one in found]
    if not found or not (local or all(public)):
        raise Failed("address")
    return found[0]


def _asked(connection: _Pinned, target: str, headers: Mapping[str, str], limits: Limits) -> Fetched:
    connection.request("GET", target, headers={"Accept-Encoding": "identity", **headers})
    answer = connection.getresponse()
    if 300 <= answer.status < 400:
        raise Failed("redirect")
    if answer.status not in (200, 203):
        raise Failed("status")
    body = answer.read(limits.largest + 1)
    if len(body) > limits.largest:
        raise Failed("too-large")
    if connection.was_cut:
        raise Failed("hang")
    return Fetched(answer.getheader("Content-Type", ""), answer.getheader("Expires", ""), body)


class _Pinned(http.client.HTTPConnection):
    """A connection to one address, under the name of its host."""

    def __init__(self, host: str, port: int, address: str, limits: Limits) -> None:
        super().__init__(host, port, timeout=limits.timeout_s)
        self._address, self._plain, self.was_cut = address, limits.local_plain, False

    def connect(self) -> None:
        sock = socket.create_connection((self._address, self.port), self.timeout)
        if not self._plain:
            sock = ssl.create_default_context().wrap_socket(sock, server_hostname=self.host)
        # Kept beside: once the head of an answer is read, the connection itself forgets its socket.
        self.sock = self._line = sock

    def cut(self) -> None:
        self.was_cut = True
        with suppress(OSError, AttributeError):
            self._line.shutdown(socket.SHUT_RDWR)

"""Where a request comes from: this machine itself, or a network."""

from __future__ import annotations

import ipaddress

from django.conf import settings
from django.http import HttpRequest

FORWARDED = ("HTTP_X_FORWARDED_FOR", "HTTP_FORWARDED", "HTTP_X_REAL_IP")
V4_PREFIX, V6_PREFIX = 24, 56
"""What one household or hall usually has; whoever holds a whole /64 has no more tries than whoever has one address."""


def on_loopback(request: HttpRequest) -> bool:
    """True where the peer itself is this machine.

    Forwarded addresses are not believed, and a request that carries one came through a proxy, from wherever.
    """
    if any(request.META.get(name) for name in FORWARDED):
        return False
    try:
        return ipaddress.ip_address(request.META.get("REMOTE_ADDR", "")).is_loopback
    except ValueError:
        return False


def network(request: HttpRequest) -> str:
    """The network that the request comes from, as the outermost of our own proxies saw it."""
    address = request.META.get("REMOTE_ADDR", "")
    if settings.TENPADS_PROXIES:
        seen = [part.strip() for part in request.META.get("HTTP_X_FORWARDED_FOR", "").split(",")]
        address = seen[-settings.TENPADS_PROXIES] if len(seen) >= settings.TENPADS_PROXIES else ""
    try:
        found = ipaddress.ip_address(address)
    except ValueError:
        return "unknown"
    mapped = getattr(found, "ipv4_mapped", None)
    found = mapped or found
    bits = V4_PREFIX if found.version == 4 else V6_PREFIX
    return str(ipaddress.ip_network(f"{found}/{bits}", strict=False))

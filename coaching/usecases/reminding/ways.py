"""The ways out: a browser's push service and the mail server. Both are off until the operator sets them up, and both
carry the same sentence, which says that there is something and not what.
"""

from __future__ import annotations

import json
import os
import smtplib
from datetime import datetime, timedelta
from urllib.parse import urlsplit

from cryptography.hazmat.primitives.asymmetric import ec
from django.conf import settings
from django.core.mail import EmailMessage
from django.urls import reverse
from django.utils.translation import gettext

from coaching.usecases.forecasts import fetching
from coaching.usecases.forecasts.fetching import Failed, Limits
from coaching.usecases.reminding import webpush
from coaching.usecases.reminding.webpush import Browser

LIMITS = Limits()
TTL_S = 3600
LONGEST_ENDPOINT = 1000
PAGES = {"morning": "/me/check-in", "session": "/me/session", "step": "/me/today", "look": "/me/today",
         "moved": "/morning"}  # fmt: skip
SENT, GONE, AGAIN, LOST = "sent", "gone", "again", "lost"
"""How a try went: taken; nobody there any more; not taken, so it may be tried again; nobody knows, so it may not."""


def push_key() -> str:
    """The public key that browsers are given; "" while push is off."""
    if not (settings.TENPADS_PUSH_KEY and settings.TENPADS_PUSH_CONTACT):
        return ""
    return webpush.encoded(webpush.public(webpush.private(settings.TENPADS_PUSH_KEY)))


def takes(browser: Browser) -> bool:
    """The address is one of a browser maker's push service that the settings name, and the keys are keys."""
    return _allowed(browser.endpoint) and webpush.usable(browser)


def _allowed(endpoint: str) -> bool:
    try:
        parts = urlsplit(endpoint)
        port = parts.port
    except ValueError:
        return False
    host = (parts.hostname or "").rstrip(".")
    known = any(host == name or host.endswith(f".{name}") for name in settings.TENPADS_PUSH_HOSTS)
    # A test's own server on this machine may be asked, as with every other question (`fetching.Limits`).
    line = LIMITS.local_plain or (parts.scheme == "https" and port in (None, 443))
    plain = line and not parts.username and not parts.fragment
    return known and plain and len(endpoint) <= LONGEST_ENDPOINT and endpoint.isascii() and endpoint.isprintable()


def page_of(kinds: list[str]) -> str:
    """The page that a message leads to; several kinds of an athlete's lead to today's list."""
    pages = {PAGES[kind] for kind in kinds}
    return pages.pop() if len(pages) == 1 else PAGES["step"] if PAGES["step"] in pages else "/"


def send_push(browser: Browser, kinds: list[str], now: datetime) -> tuple[str, int]:
    """(how it went, seconds that the service asks us to wait)."""
    if not push_key() or not takes(browser):
        return GONE, 0
    said = {"title": "Tenpads", "body": _sentence(), "page": page_of(kinds)}
    text = json.dumps(said, ensure_ascii=False).encode()
    body = webpush.encrypt(text, browser, os.urandom(16), ec.generate_private_key(webpush.CURVE), webpush.PADDED)
    own = webpush.private(settings.TENPADS_PUSH_KEY)
    headers = {
        "Authorization": webpush.signed(browser.endpoint, settings.TENPADS_PUSH_CONTACT, own, int(now.timestamp())),
        "Content-Encoding": "aes128gcm",
        "Content-Type": "application/octet-stream",
        "TTL": str(TTL_S),
        "Topic": "tenpads",  # one that was not delivered yet gives way to the next (RFC 8030, 5.4)
        "Urgency": "normal",
    }
    try:
        answer = fetching.send(browser.endpoint, headers, body, LIMITS)
    except Failed as failed:
        return (LOST if failed.code == "hang" else AGAIN), 0
    return _taken(answer.status), int(answer.retry_after) if answer.retry_after.isdecimal() else 0


def _taken(status: int) -> str:
    if 200 <= status < 300:
        return SENT
    if status in (404, 410):  # RFC 8030, 7.3
        return GONE
    return AGAIN if status == 429 or status >= 500 else LOST


def mail_on() -> bool:
    """Letters can be sent, and it is known from where and where a link in them leads."""
    return bool(settings.TENPADS_MAIL_FROM and settings.TENPADS_ADDRESS)


def send_mail(mail_to: str, kinds: list[str], stop_token: str) -> str:
    """How it went."""
    stop = _url(reverse("stop-link", args=[stop_token]))
    lines = [
        f"{_sentence()} {_url(page_of(kinds))}",
        "",
        gettext("You asked for this letter. No more of them, with one tap: %(url)s") % {"url": stop},
    ]
    headers = {"List-Unsubscribe": f"<{stop}>", "List-Unsubscribe-Post": "List-Unsubscribe=One-Click"}  # RFC 8058
    return _send(mail_to, _sentence(), lines, headers)


def send_confirmation(mail_to: str, token: str) -> str:
    """The one letter that goes to an address before it is confirmed."""
    lines = [
        gettext("Somebody asked Tenpads to send reminders to this address."),
        "",
        gettext("If it was you, say so here, within three days: %(url)s")
        % {"url": _url(reverse("mail-link", args=[token]))},
        gettext("If it was not, do nothing; nothing more is sent."),
    ]
    return _send(mail_to, gettext("Is this your address?"), lines, {})


def _send(mail_to: str, subject: str, lines: list[str], headers: dict[str, str]) -> str:
    whole = {"Auto-Submitted": "auto-generated", **headers}  # RFC 3834
    letter = EmailMessage(f"Tenpads: {subject}", "\n".join(lines), settings.TENPADS_MAIL_FROM, [mail_to], headers=whole)
    try:
        return SENT if letter.send() else AGAIN
    except smtplib.SMTPRecipientsRefused:
        return GONE
    except (smtplib.SMTPException, OSError):
        return AGAIN


def wait(attempts: int, asked_s: int) -> timedelta:
    """How long until the next try: two minutes, then four; longer where the service asks for it."""
    return max(timedelta(minutes=2**attempts), timedelta(seconds=asked_s))


def _sentence() -> str:
    return gettext("There is something to look at.")


def _url(path: str) -> str:
    return settings.TENPADS_ADDRESS.rstrip("/") + path



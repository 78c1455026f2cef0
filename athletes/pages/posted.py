"""A form that is sent twice is stored once: on a press too many, on a lost answer, and from a phone that queued it."""

from __future__ import annotations

import hashlib
import re
import secrets
from collections.abc import Callable

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

from athletes.pages.wards import Whom
from coaching.usecases import once

KEY = re.compile(r"[\x21-\x7e]{1,200}", re.ASCII)
FIELD = "idempotency_key"
"""The key rides in the form, so that it works without scripts; a header of the usual name counts as well."""
NOT_ASKED = frozenset({FIELD, "csrfmiddlewaretoken", "seconds_taken"})


def new_key() -> str:
    """For one form as it is handed out."""
    return secrets.token_hex(16)


def key_of(request: HttpRequest) -> str:
    """The key that came with the request, or a new one."""
    told = request.headers.get("Idempotency-Key") or request.POST.get(FIELD, "")
    return told if KEY.fullmatch(told) else new_key()


def once_only(
    request: HttpRequest, whom: Whom, admit: Callable[[], object], store: Callable[[], str]
) -> HttpResponse:
    """Store and lead on to the address that `store` returns; sent again under the key, only lead on, once `admit` has
    asked the door anew.

    What `store` raises stores nothing, the key included. The same key with other answers (somebody went back in the
    browser and changed them) is a thing of its own.
    """

    def work() -> once.Answer:
        return once.Answer(302, store())

    digest, key = _digest(request), key_of(request)
    sent = once.Sent(whom.viewer.account_id or 0, key, digest)
    try:
        answer = once.once(sent, admit, work)
    except once.OtherRequest:
        answer = once.once(once.Sent(sent.account_id, f"{key}.{digest[:16]}", digest), admit, work)
    return HttpResponseRedirect(answer.body)


def _digest(request: HttpRequest) -> str:
    asked = [(name, request.POST.getlist(name)) for name in sorted(request.POST) if name not in NOT_ASKED]
    found = hashlib.sha256(repr((request.get_full_path(), asked)).encode())
    for name in sorted(request.FILES):
        file = request.FILES[name]
        found.update(b"".join(file.chunks()))
        file.seek(0)
    return found.hexdigest()

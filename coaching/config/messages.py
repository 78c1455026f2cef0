"""Messages to the next page ride in a cookie; where cookies insist on TLS its name says so too."""

from __future__ import annotations

from django.conf import settings
from django.contrib.messages.storage.cookie import CookieStorage


class Messages(CookieStorage):
    cookie_name = settings.TENPADS_COOKIES + "messages"

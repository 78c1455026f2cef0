"""What every answer says to the browser, whoever made it: a page, a file, a redirect or an error."""

from __future__ import annotations

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse

DENIED = (
    "accelerometer", "autoplay", "browsing-topics", "camera", "display-capture", "encrypted-media",
    "fullscreen", "gamepad", "geolocation", "gyroscope", "hid", "identity-credentials-get", "idle-detection",
    "local-fonts", "magnetometer", "microphone", "midi", "payment", "picture-in-picture", "screen-wake-lock", "serial",
    "usb", "xr-spatial-tracking",
)  # fmt: skip
OWN = ("publickey-credentials-create", "publickey-credentials-get")
ALWAYS = {
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": ", ".join([*(f"{name}=()" for name in DENIED), *(f"{name}=(self)" for name in OWN)]),
    "Referrer-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
}


class HeadersMiddleware:
    """The outermost: an error of any other still passes here."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response
        self.always = dict(ALWAYS)
        if settings.SECURE_HSTS_SECONDS:
            within = "; includeSubDomains" if settings.SECURE_HSTS_INCLUDE_SUBDOMAINS else ""
            self.always["Strict-Transport-Security"] = f"max-age={settings.SECURE_HSTS_SECONDS}{within}"

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        for name, value in self.always.items():
            response.headers.setdefault(name, value)
        return response

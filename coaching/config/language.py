"""In which language an answer is: the person's own, else what their browser asks for; programs always get English."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.middleware.locale import LocaleMiddleware
from django.utils import translation

PROGRAMS = "/api/"
DEMO = PROGRAM = "en"
"""Programs read codes and one language; the invented people of the demo read English until they choose."""


class AskedLanguage(LocaleMiddleware):
    """What the browser asks for, with `Content-Language` and `Vary` on the way out. Before all that may answer."""

    def process_request(self, request: HttpRequest) -> None:
        if request.path_info.startswith(PROGRAMS):
            _read(request, PROGRAM)
        else:
            super().process_request(request)


class OwnLanguage:
    """What the person behind the request chose. After the door, which knows who that is."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        viewer = request.viewer  # type: ignore[attr-defined]
        if viewer is not None and not request.path_info.startswith(PROGRAMS):
            chosen = viewer.language or (DEMO if request.user.demo else "")  # type: ignore[union-attr]
            if chosen:
                _read(request, chosen)
        return self.get_response(request)


def _read(request: HttpRequest, language: str) -> None:
    translation.activate(language)
    request.LANGUAGE_CODE = language

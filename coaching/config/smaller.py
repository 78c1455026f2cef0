"""Pages, styles and scripts go over the wire packed, for whoever reads them so.

Only those: an answer of the interface keeps its entity tag as it is, because a change is asked for under it. Against
guessing a secret from the length of a packed page, the framework adds bytes at random and masks its form tokens anew in
every answer.
"""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.middleware.gzip import GZipMiddleware

PACKED = ("text/html", "text/css", "text/javascript", "application/javascript", "image/svg+xml")


class SmallerMiddleware(GZipMiddleware):
    """Outside of what serves static files, so that these are packed too."""

    def process_response(self, request: HttpRequest, response: HttpResponse) -> HttpResponse:
        """The answer, packed where its kind is one of ours to pack."""
        if response.headers.get("Content-Type", "").startswith(PACKED):
            return super().process_response(request, response)
        return response

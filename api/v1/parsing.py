"""Reading a JSON body: one meaning or none. What a reader could take in two ways is refused, not guessed."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from typing import Any

from rest_framework.exceptions import APIException, ParseError
from rest_framework.parsers import BaseParser

from athletes.records.photos.shape import MOST_BYTES

LONGEST_BYTES = 256 * 1024
"""Far more than one morning's answers with a mark on every site and the longest note."""


class TooLarge(APIException):
    status_code = 413

    def __init__(self, most: int) -> None:
        super().__init__(f"The body is larger than {most} bytes.")


class OneMeaningJSON(BaseParser):
    """JSON in UTF-8 (RFC 8259) in which no name stands twice (RFC 7493, 2.3).

    `NaN` and the infinities, which are no JSON but which many programs write, come through as floats: the field that
    takes them refuses them by name, which says more than that the body cannot be read.
    """

    media_type = "application/json"
    longest_bytes = LONGEST_BYTES

    def parse(self, stream: Any, media_type: str | None = None, parser_context: Mapping[str, Any] | None = None) -> Any:
        raw = stream.read(self.longest_bytes + 1)
        if len(raw) > self.longest_bytes:
            raise TooLarge(self.longest_bytes)
        try:
            return json.loads(raw.decode("utf-8-sig"), object_pairs_hook=_once, parse_int=_whole)
        except RecursionError:
            raise ParseError("The body is nested too deeply.") from None
        except ValueError as error:
            raise ParseError(f"The body is not JSON: {error}") from None


class WithPhotoJSON(OneMeaningJSON):
    """The same with room for a photo, which JSON carries in base64 (RFC 4648: four letters for three bytes)."""

    longest_bytes = LONGEST_BYTES + MOST_BYTES * 4 // 3


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise ParseError("The body is not JSON with one meaning: a name stands twice in an object.")
    return found


def _whole(digits: str) -> float:
    """A number of so many digits that no answer has them is as good as infinite, and costs no time."""
    return int(digits) if len(digits) <= 19 else math.inf

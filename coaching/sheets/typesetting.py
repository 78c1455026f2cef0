"""Plain values to an accessible PDF (PDF/UA-1): they reach the typesetter as JSON data, and no text becomes markup.

Only the fonts inside the typesetter are used and the date of the file is that of what is known, so that the same values
make the same bytes.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from datetime import datetime
from functools import cache
from importlib import resources
from typing import Any

import typst

from coaching.sheets.letters import BOX, through

MOST_REPLACED = 12
_UNDRAWN = re.compile(r'the text `"(.+?)"` could not be displayed')


def typeset(document: str, data: dict[str, Any], known_at: datetime) -> bytes:
    """The values laid out by a document of this folder. Raises `typst.TypstError` where the document itself is wrong,
    never because of a name: a letter that cannot be drawn becomes a box.
    """
    for _ in range(MOST_REPLACED):
        try:
            return _compiled(document, data, known_at)
        except typst.TypstError as error:
            missing = _UNDRAWN.search(str(error))
            if missing is None:
                raise
            data = through(data, _replacing(_letter_of(missing.group(1))))
    plain = through(data, lambda text: text.encode("ascii", "replace").decode())
    return _compiled(document, plain, known_at)


def _compiled(document: str, data: dict[str, Any], known_at: datetime) -> bytes:
    made = typst.compile(
        _layout(document),
        format="pdf",
        font_paths=_fonts(),
        sys_inputs={"data": json.dumps(data)},
        pdf_standards=["ua-1"],
        timestamp=int(known_at.timestamp()),
    )
    return bytes(made)


@cache
def _fonts() -> typst.Fonts:
    """Those inside the typesetter, read once a process."""
    return typst.Fonts(include_system_fonts=False)


@cache
def _layout(document: str) -> bytes:
    """The document that lays the values out; it holds no word of its own."""
    return resources.files("coaching.sheets").joinpath(document).read_bytes()


def _letter_of(shown: str) -> str:
    """The letter behind a message, which writes some as `\\u{7}`."""
    code = re.fullmatch(r"\\u\{([0-9a-f]+)\}", shown)
    return chr(int(code.group(1), 16)) if code else shown


def _replacing(letter: str) -> Callable[[str], str]:
    return lambda text: text if text.startswith("<svg") else text.replace(letter, BOX)

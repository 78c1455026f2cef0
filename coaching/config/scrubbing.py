"""No secret of an address stays in a log: a long segment of a path becomes three dots, as the proxy writes it too."""

from __future__ import annotations

import logging
import re

SECRET = re.compile(r"(?<=/)[A-Za-z0-9_-]{24,}[^\s/?]*")
"""Every secret that we put into an address is longer; no name of a page is."""


def scrubbed(text: str) -> str:
    return SECRET.sub("...", text)


class ScrubSecrets(logging.Filter):
    """On whatever writes records out, so that no logger of a library gets past it."""

    def filter(self, record: logging.LogRecord) -> bool:
        said = record.getMessage()
        if SECRET.search(said):
            record.msg, record.args = scrubbed(said), ()
        return True

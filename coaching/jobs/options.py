"""What was typed behind a verb, looked at before anything is loaded or computed."""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path

from django.core.management.base import CommandError
from django.utils.translation import gettext

from coaching.jobs import serving

FIRST_YEAR, LAST_YEAR = 1970, 2200
"""Days outside cannot be a squad's, and near the ends of the calendar a window around them has no beginning or end."""


def day(text: str, option: str = "--as-of") -> date:
    """The day of an option. Raises CommandError for what is none, and for years that no squad has."""
    try:
        found = date.fromisoformat(text)
    except ValueError as error:
        line = gettext("{option} must be a day such as 2027-03-11: {error}")
        raise CommandError(line.format(option=option, error=error)) from error
    if not FIRST_YEAR <= found.year <= LAST_YEAR:
        line = gettext("{option} must be a day from {first} to {last}: {day}")
        raise CommandError(line.format(option=option, first=FIRST_YEAR, last=LAST_YEAR, day=found))
    return found


def writable(path: Path | None) -> Path | None:
    """The file of `--out`. Raises CommandError where none can be written there."""
    if path is None:
        return None
    if path.is_dir():
        raise CommandError(gettext("--out must be a file, and {path} is a folder.").format(path=path))
    if not path.parent.is_dir():
        raise CommandError(gettext("--out: there is no folder {folder}.").format(folder=path.parent))
    if not os.access(path if path.exists() else path.parent, os.W_OK):
        raise CommandError(gettext("--out: {path} cannot be written.").format(path=path))
    return path


def port(wanted: int | None) -> int:
    """A port to listen on. Raises CommandError for a number that is none, and where it is in use."""
    if wanted is not None and wanted not in serving.PORTS:
        line = gettext("--port must be a number from {first} to {last}: {port}")
        raise CommandError(line.format(first=serving.PORTS[0], last=serving.PORTS[-1], port=wanted))
    try:
        return serving.free_port(wanted)
    except serving.PortTaken as taken:
        line = gettext("Port {port} is in use or not for this account. Choose another with --port.")
        raise CommandError(line.format(port=taken)) from taken

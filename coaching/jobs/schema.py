"""The tables that a verb is about to read, there before it reads them."""

from __future__ import annotations

from django.core.management.base import CommandError
from django.db import OperationalError, connection
from django.utils.translation import gettext

from coaching.usecases import set_up


def ready() -> None:
    """Bring a SQLite file up to date; a server's tables are its operator's to change.

    Raises CommandError where such a server lacks something, or where the database cannot be opened.
    """
    try:
        if connection.vendor == "sqlite":
            set_up.migrate()
        elif not set_up.migrated():
            raise CommandError(gettext("The database is not migrated: run migrate."))
    except OperationalError as error:
        raise CommandError(gettext("The database cannot be opened: {error}").format(error=error)) from error

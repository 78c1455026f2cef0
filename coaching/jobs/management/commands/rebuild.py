"""`rebuild`: drop what is derived from the records and conclude for everybody anew."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand
from django.utils.translation import gettext

from coaching.jobs import schema
from coaching.usecases import clock
from coaching.usecases.rebuild import rebuild


class Command(BaseCommand):
    help = (
        "Drop packed histories and what filters held, and conclude for everybody from the records alone, as the "
        "operator of this machine. Whoever computes (serve, or a worker) does the work; nothing else is lost."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        schema.ready()
        rows, athletes = rebuild(clock.now())
        line = gettext("{rows} derived rows dropped; {athletes} athletes wait for a pass from the records alone")
        self.stdout.write(line.format(rows=rows, athletes=athletes))

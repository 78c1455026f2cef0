"""`erase ATHLETE --yes`: everything of one athlete, at once and for good."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext

from athletes.records.errors import NotFound
from coaching.jobs import schema
from coaching.usecases import erase


class Command(BaseCommand):
    help = "Erase everything of one athlete, at once and for good; an athlete asks for it on their own page."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("athlete", help="athlete_id as in the bundle")
        parser.add_argument("--yes", action="store_true", help="do it")

    def handle(self, *args: Any, **options: Any) -> None:
        schema.ready()
        if not options["yes"]:
            raise CommandError(gettext("It cannot be undone: say --yes."))
        try:
            rows = erase.erase_now(options["athlete"])
        except NotFound as error:
            raise CommandError(gettext("There is no such athlete.")) from error
        self.stdout.write(gettext("{n} rows are gone.").format(n=rows))

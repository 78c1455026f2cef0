"""`retry --athlete CODE | --all`: compute once more what was given up."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext, ngettext

from athletes.records.errors import NotFound
from coaching.jobs import schema
from coaching.usecases import clock
from coaching.usecases.late_list import retry


class Command(BaseCommand):
    help = "Try again what was given up or rests after a failure, as the operator of this machine."

    def add_arguments(self, parser: ArgumentParser) -> None:
        which = parser.add_mutually_exclusive_group(required=True)
        which.add_argument("--athlete", action="append", metavar="CODE", help="athlete_id; may be repeated")
        which.add_argument("--all", action="store_true", help="every athlete")

    def handle(self, *args: Any, **options: Any) -> None:
        schema.ready()
        try:
            n = retry(options["athlete"], clock.now())
        except NotFound as error:
            raise CommandError(gettext("One of these athletes is not in the records.")) from error
        self.stdout.write(ngettext("{n} athlete is tried again", "{n} athletes are tried again", n).format(n=n))

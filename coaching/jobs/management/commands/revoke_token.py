"""`revoke-token PREFIX`: end a token from the next request on."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext

from athletes.records.errors import NotFound
from coaching.jobs import schema
from coaching.usecases import api_tokens


class Command(BaseCommand):
    help = "End a token of another program."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("prefix", help="the twelve letters and digits after tp_")

    def handle(self, *args: Any, **options: Any) -> None:
        schema.ready()
        try:
            api_tokens.revoke_token(options["prefix"])
        except NotFound as error:
            line = gettext("There is no token {prefix}.")
            raise CommandError(line.format(prefix=options["prefix"])) from error
        self.stdout.write(gettext("It is good no more."))

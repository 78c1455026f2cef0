"""`close-login USER`: nobody signs in with it any more, and who is in is out."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext

from athletes.records.errors import NotFound
from coaching.jobs import schema
from coaching.usecases import accounts


class Command(BaseCommand):
    help = "Close a login at once: every session and token of it ends. Facts stay as they are."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("user", help="name to sign in with")

    def handle(self, *args: Any, **options: Any) -> None:
        schema.ready()
        try:
            accounts.close(options["user"])
        except NotFound as error:
            raise CommandError(gettext("Nobody signs in as {user}.").format(user=options["user"])) from error
        self.stdout.write(gettext("{user} is closed.").format(user=options["user"]))

"""`new-password USER`: a link for a new password, shown this once."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext

from athletes.records.errors import NotFound
from coaching.jobs import schema
from coaching.usecases import accounts


class Command(BaseCommand):
    help = "A link for a new password, which is shown this once and opens once within a day."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("user", help="name to sign in with")
        lost = "also take every second factor away, for whoever lost them all; ends all sessions and tokens at once"
        parser.add_argument("--lost-factors", action="store_true", help=lost)
        parser.add_argument("--address", default="", help="what people type before the path, such as https://host")

    def handle(self, *args: Any, **options: Any) -> None:
        schema.ready()
        try:
            text = accounts.reset_link(options["user"], options["lost_factors"])
        except NotFound as error:
            raise CommandError(gettext("Nobody signs in as {user}.").format(user=options["user"])) from error
        self.stdout.write(f"{options['address'].rstrip('/')}/new-password/{text}")

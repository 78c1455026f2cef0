"""`vouch USER`: say that whoever set a new password is who they should be."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext

from athletes.records.errors import NotFound
from coaching.jobs import schema
from coaching.usecases import accounts


class Command(BaseCommand):
    help = "Open a login again whose password was set anew through somebody else's link. Speak with its owner first."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("user", help="name to sign in with")

    def handle(self, *args: Any, **options: Any) -> None:
        schema.ready()
        try:
            helped = accounts.vouch(options["user"])
        except NotFound as error:
            raise CommandError(gettext("Nobody signs in as {user}.").format(user=options["user"])) from error
        said = gettext("{user} is open again.") if helped else gettext("Nobody has to vouch for {user}.")
        self.stdout.write(said.format(user=options["user"]))

"""`new-club`: the first squad of an empty installation and its head coach; the password is asked for, not shown."""

from __future__ import annotations

from argparse import ArgumentParser
from getpass import getpass
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext

from athletes.records.errors import BadInput
from coaching.jobs import schema
from coaching.usecases.new_club import new_club


class Command(BaseCommand):
    help = "Make a club with a squad and a head coach who can sign in."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--club", required=True, help="name of the club")
        parser.add_argument("--squad", required=True, help="name of its first squad")
        parser.add_argument("--coach", required=True, help="name of the head coach")
        parser.add_argument("--user", required=True, help="name the coach signs in with")

    def handle(self, *args: Any, **options: Any) -> None:
        schema.ready()
        try:
            password = getpass(gettext("Password (15 characters or more): "))
        except EOFError as error:
            raise CommandError(gettext("No password was given.")) from error
        try:
            new_club(options["club"], options["squad"], options["coach"], options["user"], password)
        except BadInput as error:
            raise CommandError(f"{error.field}: {error.problem}") from error
        said = gettext("{user} can sign in and add athletes under Squad.")
        self.stdout.write(said.format(user=options["user"]))

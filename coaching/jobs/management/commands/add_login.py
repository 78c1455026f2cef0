"""`add-login PERSON --user NAME`: a login for a person of the records; the password is asked for, not shown."""

from __future__ import annotations

from argparse import ArgumentParser
from getpass import getpass
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext

from athletes.records.errors import BadInput, NotFound
from coaching.jobs import schema
from coaching.usecases import accounts


class Command(BaseCommand):
    help = "Give a person of the records a login."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("person", help="person_id as in the bundle")
        parser.add_argument("--user", required=True, help="name to sign in with")

    def handle(self, *args: Any, **options: Any) -> None:
        schema.ready()
        password = _password()
        try:
            accounts.add_login(options["person"], options["user"], password)
        except NotFound as error:
            line = gettext("Nobody in the records has the person_id {person}.")
            raise CommandError(line.format(person=options["person"])) from error
        except BadInput as error:
            raise CommandError(f"{error.field}: {error.problem}") from error
        self.stdout.write(gettext("{user} can sign in.").format(user=options["user"]))


def _password() -> str:
    try:
        return getpass(gettext("Password (15 characters or more): "))
    except EOFError as error:
        raise CommandError(gettext("No password was given.")) from error

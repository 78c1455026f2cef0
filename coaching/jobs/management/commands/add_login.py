"""`add-login PERSON --user NAME`: a login for a person of the records; the password is asked for, not shown."""

from __future__ import annotations

from argparse import ArgumentParser
from getpass import getpass
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from athletes.records.errors import BadInput, NotFound
from coaching.usecases import accounts


class Command(BaseCommand):
    help = "Give a person of the records a login."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("person", help="person_id as in the bundle")
        parser.add_argument("--user", required=True, help="name to sign in with")

    def handle(self, *args: Any, **options: Any) -> None:
        password = getpass("Password (15 characters or more): ")
        try:
            accounts.add_login(options["person"], options["user"], password)
        except NotFound as error:
            raise CommandError(f"Nobody in the records has the person_id {options['person']}.") from error
        except BadInput as error:
            raise CommandError(f"{error.field}: {error.problem}") from error
        self.stdout.write(f"{options['user']} can sign in.")

"""`make-token PERSON --scope read --days 90`: a token for another program, shown this once."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext

from athletes.records.errors import BadInput, NotFound
from coaching.jobs import schema
from coaching.usecases import api_tokens


class Command(BaseCommand):
    help = "Make a token with which another program uses the interface in a person's name; it is shown this once."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("person", help="person_id as in the bundle; the person needs a login")
        parser.add_argument(
            "--scope",
            action="append",
            required=True,
            choices=api_tokens.SCOPES,
            help="what it may be used for; give it once for each",
        )
        parser.add_argument("--days", type=int, default=90, help="how long it is good, 366 at most (90)")

    def handle(self, *args: Any, **options: Any) -> None:
        schema.ready()
        try:
            token = api_tokens.make_token(options["person"], options["scope"], options["days"])
        except NotFound as error:
            line = gettext("Nobody with a login has the person_id {person}.")
            raise CommandError(line.format(person=options["person"])) from error
        except BadInput as error:
            raise CommandError(f"{error.field}: {error.problem}") from error
        self.stdout.write(token)
        self.stderr.write(
            gettext("Keep it now: it is not shown again. Send it as `Authorization: Bearer` and the text above.")
        )

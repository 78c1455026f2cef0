"""`invite ROLE --name NAME --squad CODE --athlete CODE`: a link that opens a role to somebody, shown this once."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext

from athletes.records.errors import BadInput, NotFound
from coaching.jobs import schema
from coaching.usecases import invitations
from coaching.wording import people


class Command(BaseCommand):
    help = "Let somebody in: a link for a role, which is shown this once and opens once within seven days."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("role", choices=list(people.ROLES))
        parser.add_argument("--name", required=True, help="whom it is for")
        parser.add_argument("--squad", help="squad_id; every role but support, athlete and guardian needs it")
        parser.add_argument("--athlete", help="athlete_id, for the roles athlete and guardian")
        parser.add_argument("--address", default="", help="what people type before the path, such as https://host")

    def handle(self, *args: Any, **options: Any) -> None:
        schema.ready()
        about = (options["squad"], options["role"], options["name"], options["athlete"])
        try:
            text = invitations.invite_as_operator(*about)
        except NotFound as error:
            raise CommandError(gettext("There is no such squad or athlete.")) from error
        except BadInput as error:
            raise CommandError(f"{error.field}: {error.problem}") from error
        self.stdout.write(f"{options['address'].rstrip('/')}/join/{text}")

"""`who-could-read --from INSTANT --to INSTANT`: who read what of whom, and whose doors stood open."""

from __future__ import annotations

from argparse import ArgumentParser
from datetime import UTC, datetime
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext

from athletes.records.errors import NotFound
from coaching.jobs import schema
from coaching.usecases import access_log
from coaching.wording import people, sharing


class Command(BaseCommand):
    help = "List who read what between two instants, and who could have, by athlete or by login; as the operator."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--from", dest="first", required=True, help="ISO 8601; UTC where no offset is given")
        parser.add_argument("--to", dest="last", required=True, help="ISO 8601; UTC where no offset is given")
        parser.add_argument("--athlete", help="only of this athlete_id")
        parser.add_argument("--login", help="only by this login")

    def handle(self, *args: Any, **options: Any) -> None:
        schema.ready()
        first, last = _instant(options["first"], "--from"), _instant(options["last"], "--to")
        try:
            found = access_log.between(first, last, options["athlete"], options["login"])
        except NotFound as error:
            raise CommandError(gettext("There is no such athlete or login.")) from error
        self.stdout.write(gettext("Read, {n} times an athlete:").format(n=len(found.read)))
        for athlete, read in found.read:
            who = read.who or gettext("person {n}, no longer here").format(n=read.person)
            told = [read.at.isoformat(timespec="seconds"), athlete, who, people.role_list(read.roles)]
            told += [sharing.page(read.what), read.method, sharing.classes_seen(read.classes)]
            self.stdout.write("  " + "; ".join(filter(None, told)))
        self.stdout.write(gettext("Could have read, as roles and squads are now ({n}):").format(n=len(found.could)))
        for one in found.could:
            what = gettext("everything") if one.data_class == "*" else sharing.data_class(one.data_class).lower()
            self.stdout.write(f"  {one.athlete}; {one.who}; {people.role(one.role)}; {what}; {one.why}")
        self.stdout.write(gettext("Whoever runs this machine could have read everything, without a line here."))


def _instant(text: str, option: str) -> datetime:
    try:
        found = datetime.fromisoformat(text)
    except ValueError as error:
        raise CommandError(f"{option}: {error}") from error
    return found if found.tzinfo else found.replace(tzinfo=UTC)

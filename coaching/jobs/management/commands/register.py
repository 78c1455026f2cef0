"""`register record|impact`: the record of processing, or the impact assessment, made from the register of columns."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from coaching.usecases import register


class Command(BaseCommand):
    help = "Print the record of processing or the impact assessment, both made from the register."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("what", choices=("record", "impact"))

    def handle(self, *args: Any, **options: Any) -> None:
        missing = register.problems()
        if missing:
            raise CommandError("\n".join(missing))
        self.stdout.write(register.record() if options["what"] == "record" else register.impact())

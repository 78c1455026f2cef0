"""`keep-terms --dry-run`: drop, or only count, what is past the time that the register gives it."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand
from django.utils.translation import gettext

from coaching.jobs import schema
from coaching.usecases import retention


class Command(BaseCommand):
    help = "Drop what is past its time; it runs by itself once a day."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--dry-run", action="store_true", help="only count")

    def handle(self, *args: Any, **options: Any) -> None:
        schema.ready()
        found = retention.keep_terms(dry=options["dry_run"])
        line = gettext("{term}: {n} rows would go") if found.dry else gettext("{term}: {n} rows are gone")
        for term, n in found.counts.items():
            self.stdout.write(line.format(term=term, n=n))

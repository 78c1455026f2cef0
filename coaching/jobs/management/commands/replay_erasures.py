"""`replay-erasures`: after a backup was put back, erase again whoever had been erased since it was made."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand
from django.utils.translation import gettext

from coaching.jobs import schema
from coaching.usecases import erase


class Command(BaseCommand):
    help = "Erase again, in a restored database, whoever the ledger of erasures names."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--ledger", type=Path, help="the ledger; erasures.jsonl in the data folder unless given")

    def handle(self, *args: Any, **options: Any) -> None:
        schema.ready()
        self.stdout.write(gettext("{n} erased again.").format(n=erase.replay(options["ledger"])))

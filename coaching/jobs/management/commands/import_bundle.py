"""`import-bundle PATH`: take a history bundle into the records, all of it or nothing."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand
from django.utils.translation import gettext, gettext_lazy, ngettext
from rich.console import Console

from athletes.records.bundle.report import BadBundle, ImportReport
from coaching.jobs import schema
from coaching.usecases import clock
from coaching.usecases.import_bundle import import_bundle

CLUB = gettext_lazy("Our club")


class Command(BaseCommand):
    help = "Import a history bundle, a folder or a zip. What is stored already is left alone."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("path", type=Path, help="folder or zip")
        parser.add_argument("--club", default=str(CLUB), help="the club that new squads belong to")

    def handle(self, *args: Any, **options: Any) -> None:
        schema.ready()
        console = Console(stderr=True)
        try:
            with console.status(gettext("Importing {path}").format(path=options["path"])):
                report = import_bundle(options["path"], club_name=options["club"], now=clock.now())
        except BadBundle as error:
            self._refuse(error)
        except OSError as error:
            self.stderr.write(str(error))
            raise SystemExit(1) from None
        else:
            self._tell(report)

    def _refuse(self, error: BadBundle) -> None:
        for row in error.rows:
            self.stderr.write(str(row))
        n = len(error.rows)
        line = ngettext(
            "{n} thing to put right; nothing was stored.", "{n} things to put right; nothing was stored.", n
        )
        self.stderr.write(line.format(n=n))
        raise SystemExit(1)

    def _tell(self, report: ImportReport) -> None:
        line = gettext("{table}: {stored} stored, {already} there already")
        for table, stored in report.stored.items():
            self.stdout.write(line.format(table=table, stored=stored, already=report.already[table]))
        self.stdout.write(gettext("digest {digest}").format(digest=report.digest))

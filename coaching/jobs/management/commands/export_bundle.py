"""`export-bundle PATH`: write the records, or one athlete's, as a history bundle."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand
from django.utils.translation import gettext
from rich.console import Console

from athletes.records import access
from coaching.jobs import schema
from coaching.usecases import clock
from coaching.usecases.export_bundle import ExportReport, export_bundle


class Command(BaseCommand):
    help = "Export a history bundle into a new folder or zip, as the operator of this machine."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("path", type=Path, help="new folder, or zip with --zip")
        parser.add_argument("--athlete", action="append", help="only this athlete_id; may be repeated")
        parser.add_argument("--zip", action="store_true", help="write one zip")

    def handle(self, *args: Any, **options: Any) -> None:
        schema.ready()
        console = Console(stderr=True)
        try:
            with console.status(gettext("Exporting to {path}").format(path=options["path"])):
                report = self._export(options)
        except access.NotFound:
            self._refuse(gettext("One of these athletes is not in the records."))
        except OSError as error:
            self._refuse(str(error))
        else:
            for table, rows in report.rows.items():
                self.stdout.write(gettext("{table}: {rows} rows").format(table=table, rows=rows))
            self.stdout.write(gettext("digest {digest}").format(digest=report.digest))

    def _export(self, options: dict[str, Any]) -> ExportReport:
        now = clock.now()
        return export_bundle(
            options["path"],
            viewer=access.OPERATOR(now.date()),
            now=now,
            athlete_codes=options["athlete"],
            as_zip=options["zip"],
        )

    def _refuse(self, why: str) -> None:
        self.stderr.write(why)
        raise SystemExit(1)

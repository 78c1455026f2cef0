"""`assess BUNDLE --as-of DAY`: what the service concludes from a bundle alone."""

from __future__ import annotations

import json
from argparse import ArgumentParser
from datetime import date
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext

from athletes.records.access import NotFound
from athletes.records.bundle.report import BadBundle
from coaching.jobs import options as typed
from coaching.usecases.assess import assess


class Command(BaseCommand):
    help = "Assess a bundle on the evening of one day, without touching the installation's own data."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("bundle", type=Path, help="folder or zip")
        parser.add_argument("--as-of", required=True, help="local day of the athletes, YYYY-MM-DD")
        parser.add_argument(
            "--athlete", action="append", default=[], help="only this athlete_id; may be repeated"
        )
        parser.add_argument(
            "--out", type=Path, help="file to write; without it the answer goes to standard output"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        day, out = typed.day(options["as_of"]), typed.writable(options["out"])
        self.stderr.write(gettext("Assessing as the operator of this machine, without the athletes' consent."))
        text = self._text(options["bundle"], day, options["athlete"])
        if out:
            out.write_text(text, encoding="utf-8")
        else:
            self.stdout.write(text, ending="")

    def _text(self, bundle: Path, day: date, athletes: list[str]) -> str:
        try:
            found = assess(bundle, day, athletes)
        except BadBundle as error:
            raise CommandError(str(error)) from error
        except NotFound as error:
            raise CommandError(gettext("The bundle has no athlete {code}.").format(code=error)) from error
        return json.dumps(found, indent=1, sort_keys=True, ensure_ascii=False) + "\n"

"""`backtest BUNDLE --origins DAYS --horizons DAYS --out FILE`: forecasts as they would have been made."""

from __future__ import annotations

from argparse import ArgumentParser
from datetime import date
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext

from athletes.records.bundle.report import BadBundle
from coaching.jobs import options as typed
from coaching.usecases.backtest import backtest

LONGEST_D = 42


class Command(BaseCommand):
    help = "Forecast from a bundle as on past evenings, without touching the installation's own data."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("bundle", type=Path, help="folder or zip")
        parser.add_argument("--origins", required=True, help="evenings, YYYY-MM-DD, separated by commas")
        parser.add_argument("--horizons", required=True, help="days ahead, separated by commas")
        parser.add_argument("--out", type=Path, required=True, help="file of forecasts; *-splits.csv stands beside it")

        parser.add_argument("--train-until", help="learn the squad's own quantities from what was known that evening")

    def handle(self, *args: Any, **options: Any) -> None:
        origins, horizons = _days(options["origins"]), _horizons(options["horizons"])
        until = options["train_until"]
        taught = typed.day(until, "--train-until") if until else None
        if taught and taught > min(origins):
            line = gettext("--train-until {day} lies after an origin, which would then know what came later.")
            raise CommandError(line.format(day=taught))
        out = options["out"]
        beside = out.with_name(f"{out.stem}-splits.csv")
        for file in (out, beside):
            typed.writable(file)
        if out.resolve().is_relative_to(options["bundle"].resolve()):
            raise CommandError(gettext("--out must lie outside the bundle, which holds files of its own only."))
        self.stderr.write(gettext("Forecasting as the operator of this machine, without the athletes' consent."))
        try:
            found = backtest(
                options["bundle"], origins, horizons, train_until=taught, progress=self.stderr.write
            )
        except BadBundle as error:
            raise CommandError(str(error)) from error
        for file, text in ((out, found.forecasts), (beside, found.splits)):
            file.write_text(text, encoding="utf-8", newline="")


def _days(text: str) -> list[date]:
    return [typed.day(part.strip(), "--origins") for part in text.split(",")]


def _horizons(text: str) -> list[int]:
    parts = [part.strip() for part in text.split(",")]
    if not all(part.isascii() and part.isdigit() and 1 <= int(part) <= LONGEST_D for part in parts):
        line = gettext("--horizons must be whole days from 1 to {last}, such as 7,14: {text}")
        raise CommandError(line.format(last=LONGEST_D, text=text))
    return [int(part) for part in parts]

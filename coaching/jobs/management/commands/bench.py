"""`bench`: how this program's hot paths compare with yardsticks of their own, as ratios taken in one run."""

from __future__ import annotations

import json
from argparse import ArgumentParser
from dataclasses import replace
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from coaching.jobs import options as typed
from coaching.usecases.bench import running


class Command(BaseCommand):
    help = "Measure the hot paths against yardsticks, on a database that is thrown away. Takes some minutes."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--quick", action="store_true", help="a small squad and few turns, within a minute")
        parser.add_argument("--athletes", type=int, help="size of the squad")
        parser.add_argument("--repeats", type=int, help="turns of each path")
        parser.add_argument("--postgres", help="URL of a server to measure check-ins on, in a database of its own")
        parser.add_argument("--out", type=Path, help="file for the figures; without it they go to standard output")

    def handle(self, *args: Any, **options: Any) -> None:
        out = typed.writable(options["out"])
        size = running.QUICK if options["quick"] else running.Size()
        asked = {name: options[name] for name in ("athletes", "repeats") if options[name]}
        found = running.run(replace(size, **asked), options["postgres"], lambda said: self.stderr.write(f"{said} ..."))
        text = json.dumps(found, indent=1) + "\n"
        if out:
            out.write_text(text, encoding="utf-8")
        else:
            self.stdout.write(text, ending="")

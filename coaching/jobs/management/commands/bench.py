"""`bench`: how this program's hot paths compare with yardsticks of their own, as ratios taken in one run."""

from __future__ import annotations

import json
from argparse import ArgumentParser
from dataclasses import replace
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from coaching.jobs import options as typed
from coaching.jobs import stopping
from coaching.usecases.bench import running


class Command(BaseCommand):
    help = (
        "Measure the hot paths against yardsticks, on databases that are thrown away, in less than ten minutes. Each "
        "path's figures are told and put into the file as soon as they are there."
    )
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--quick", action="store_true", help="a small squad and one turn of each")
        parser.add_argument("--athletes", type=int, help="size of the squad; 10000 takes the better part of an hour")
        parser.add_argument("--repeats", type=int, help="turns of each path, where there is time for so many")
        parser.add_argument("--postgres", help="URL of a server to measure on, in a database of its own")
        parser.add_argument("--out", type=Path, help="file for the figures; without it they go to standard output")

    def handle(self, *args: Any, **options: Any) -> None:
        out = typed.writable(options["out"])
        size = running.QUICK if options["quick"] else running.Size()
        asked = {name: options[name] for name in ("athletes", "repeats") if options[name]}
        known: dict[str, Any] = {}

        def keep(found: dict[str, Any]) -> None:
            known.update(found)
            if out:
                _written(out, found)

        try:
            with stopping.told_to_stop():
                running.run(replace(size, **asked), options["postgres"], self.stderr.write, keep)
        finally:  # also where the run was ended: what it has measured is not lost
            if known and not out:
                self.stdout.write(_text(known), ending="")


def _written(out: Path, found: dict[str, Any]) -> None:
    """The file as a whole or as it was: whoever reads it meanwhile never sees half."""
    beside = out.with_name(f".{out.name}.part")
    beside.write_text(_text(found), encoding="utf-8")
    beside.replace(out)


def _text(found: dict[str, Any]) -> str:
    return json.dumps(found, indent=1) + "\n"

"""`demo`: the whole service on an invented squad, from nothing to a listening address."""

from __future__ import annotations

import shutil
import sys
from argparse import ArgumentParser
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import connection
from django.utils.translation import gettext
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeElapsedColumn

from coaching.jobs import briefing, serving
from coaching.jobs import options as typed
from coaching.usecases import accounts, clock, demo_trials, kept_afterwards, recompute, set_up


class Command(BaseCommand):
    help = "Show Tenpads on an invented squad of 24."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        port = gettext("port, 1 to 65535; without it the first free one from 8000 on")
        fresh = gettext("throw the demo's data away and start over; a real squad's is never touched")
        once = gettext("print the names to look at first and exit, without listening")
        parser.add_argument("--port", type=int, help=port)
        parser.add_argument("--fresh", action="store_true", help=fresh)
        parser.add_argument("--once", action="store_true", help=once)

    def handle(self, *args: Any, **options: Any) -> None:
        self._console = Console(highlight=False, soft_wrap=True)
        if not options["once"]:
            typed.port(options["port"])
        if options["fresh"]:
            self._start_over()
        set_up.migrate()
        set_up.take_over()
        if set_up.empty():
            self._load()
        elif not accounts.demo_logins():
            line = gettext("{folder} holds a real squad. Choose another folder with --data.")
            raise CommandError(line.format(folder=settings.ENVIRONMENT.data_dir))
        self._compute()
        self._brief()
        if not options["once"]:
            self._serve(options["port"])

    def _start_over(self) -> None:
        """Only a folder that holds a demo is emptied."""
        folder = settings.ENVIRONMENT.data_dir
        if connection.vendor != "sqlite":
            line = gettext("--fresh throws away only a demo's own SQLite file, and this is another database.")
            raise CommandError(line)
        if not folder.exists() or not any(folder.glob("tenpads.sqlite3")):
            return
        set_up.migrate()
        if not set_up.empty() and not accounts.demo_logins():
            line = gettext("{folder} holds a real squad, which --fresh never touches.")
            raise CommandError(line.format(folder=folder))
        connection.close()
        for path in (*folder.glob("tenpads.sqlite3*"), folder / "static"):
            shutil.rmtree(path, ignore_errors=True) if path.is_dir() else path.unlink(missing_ok=True)

    def _load(self) -> None:
        self._console.print(gettext("Loading the demo squad ..."))
        athletes = set_up.load_demo(clock.now())
        demo_trials.load(clock.now())
        line = gettext("{n} athletes loaded; looking at yesterday, to know what changed ...")
        self._console.print(line.format(n=athletes))
        set_up.conclude_eve(clock.now())
        self._console.print(gettext("Forecasting from past evenings, so that there is something to score ..."))
        kept_afterwards.compute_afterwards(clock.now())

    def _compute(self) -> None:
        waiting = recompute.waiting()
        if not waiting:
            return
        columns = (TextColumn(gettext("Computing")), BarColumn(), MofNCompleteColumn(), TimeElapsedColumn())
        with Progress(*columns, console=self._console) as progress:
            task = progress.add_task("", total=waiting)
            recompute.drain(lambda done: progress.update(task, completed=min(done, waiting)), batch=6)

    def _brief(self) -> None:
        for line in briefing.lines():
            self._console.print(line, markup=False)

    def _serve(self, port: int | None) -> None:
        found = typed.port(port)
        serving.serve(found, lambda: self._ready(f"http://{serving.HOST}:{found}"))

    def _ready(self, address: str) -> None:
        print(gettext("Listening on {address}").format(address=address))
        print(gettext("Sign in with the password: {password}").format(password=accounts.DEMO_PASSWORD))
        for line in briefing.logins():
            print(line)
        sys.stdout.flush()

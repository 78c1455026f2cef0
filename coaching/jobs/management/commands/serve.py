"""`serve`: the pages, the interface and the in-process runner on this machine."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand
from django.utils.translation import gettext

from coaching.jobs import options as typed
from coaching.jobs import serving
from coaching.usecases import set_up


class Command(BaseCommand):
    help = "Serve this installation on 127.0.0.1."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--port", type=int, help=gettext("port, 1 to 65535; without it the first free one from 8000 on")
        )

    def handle(self, *args: Any, **options: Any) -> None:
        typed.port(options["port"])  # said before the tables are looked at, which takes a while
        set_up.migrate()
        port = typed.port(options["port"])
        address = f"http://{serving.HOST}:{port}"
        serving.serve(port, lambda: self._say(gettext("Listening on {address}").format(address=address)))

    def _say(self, text: str) -> None:
        self.stdout.write(text)
        self.stdout.flush()

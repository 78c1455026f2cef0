"""`serve`: the pages, the interface and the in-process runner on this machine."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from coaching.jobs import serving
from coaching.usecases import set_up


class Command(BaseCommand):
    help = "Serve this installation on 127.0.0.1."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--port", type=int, help="port; the first free one from 8000 on without it")

    def handle(self, *args: Any, **options: Any) -> None:
        set_up.migrate()
        try:
            port = serving.free_port(options["port"])
        except serving.PortTaken as taken:
            raise CommandError(f"Port {taken} is in use. Choose another with --port.") from taken
        address = f"http://{serving.HOST}:{port}"
        serving.serve(port, lambda: self._say(f"Listening on {address}"))

    def _say(self, text: str) -> None:
        self.stdout.write(text)
        self.stdout.flush()

"""The web process of the embedded default: one process, a few threads, and the runner that computes beside them."""

from __future__ import annotations

import socket
from collections.abc import Callable
from typing import Any

from django.conf import settings
from django.core.wsgi import get_wsgi_application
from gunicorn.app.base import BaseApplication

from coaching.jobs.runner import Runner
from coaching.usecases import set_up

THREADS = 8
HOST = "127.0.0.1"
FIRST_PORT, TRIES = 8000, 50
PORTS = range(1, 65536)


class PortTaken(Exception):
    """Somebody else listens there."""


def free_port(wanted: int | None) -> int:
    """The wanted port, or the first free one from 8000 on. Raises PortTaken where the wanted one is in use."""
    for port in [wanted] if wanted else range(FIRST_PORT, FIRST_PORT + TRIES):
        with socket.socket() as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind((HOST, port))
            except OSError:
                continue
        return port
    raise PortTaken(str(wanted or f"{FIRST_PORT}-{FIRST_PORT + TRIES - 1}"))


class _Application(BaseApplication):
    """Gunicorn with our settings only: its own configuration files are not read."""

    def __init__(self, options: dict[str, Any]) -> None:
        self._options = options
        super().__init__()

    def load_config(self) -> None:
        for name, value in self._options.items():
            if name in self.cfg.settings:
                self.cfg.set(name, value)

    def load(self) -> Any:
        return get_wsgi_application()


def serve(port: int, on_ready: Callable[[], None]) -> None:
    """Serve on the loopback address until stopped; `on_ready` is called once the port accepts connections."""
    options = {
        "bind": f"{HOST}:{port}",
        "workers": 1,
        "threads": THREADS,
        "worker_class": "gthread",
        "preload_app": True,
        "control_socket_disable": True,
        "graceful_timeout": 5,
        "timeout": 120,
        "loglevel": "error",
        "when_ready": lambda server: on_ready(),
        "post_worker_init": lambda worker: _start_runner(),
    }
    _Application(options).run()


def _start_runner() -> None:
    """In the worker, after the fork: a thread started before it would not live there.

    Not where other processes compute: their claims are not ours to take over.
    """
    if not settings.TENPADS_EMBEDDED:
        return
    set_up.take_over()
    Runner().start()

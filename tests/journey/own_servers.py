"""Servers that a test starts itself, on ports and in folders of its own: Redis, PostgreSQL, and ours upon them."""

from __future__ import annotations

import contextlib
import glob
import os
import pwd
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]
PATIENCE_S = 60.0


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def until(true: Callable[[], Any], within_s: float = PATIENCE_S, every_s: float = 0.05) -> float:
    """Wait for it and return the seconds that took; fails where it does not come true in time."""
    began = time.monotonic()
    while not true():
        if time.monotonic() - began > within_s:
            raise AssertionError(f"not within {within_s} s")
        time.sleep(every_s)
    return time.monotonic() - began


def listens(port: int) -> bool:
    with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), 0.5):
        return True
    return False


class OwnRedis:
    """Keeps nothing on disk: stopped and started, it is empty."""

    def __init__(self) -> None:
        self._program = shutil.which("redis-server") or pytest.skip("no redis-server on this machine")
        self.port = free_port()
        self._process: subprocess.Popen[bytes] | None = None

    @property
    def url(self) -> str:
        return f"redis://127.0.0.1:{self.port}/0"

    def start(self) -> None:
        words = ["--port", str(self.port), "--bind", "127.0.0.1", "--save", "", "--appendonly", "no"]
        folder = tempfile.gettempdir()
        self._process = subprocess.Popen([self._program, *words, "--dir", folder], stdout=subprocess.DEVNULL)
        until(lambda: listens(self.port), 10)

    def stop(self) -> None:
        if self._process:
            self._process.kill()
            self._process.wait(10)
            self._process = None


class OwnPostgreSQL:
    """A new cluster, run as the user `postgres` where we are root, whom the server refuses to serve."""

    def __init__(self) -> None:
        self._bin = _postgresql_programs()
        self.port = free_port()
        self.folder = Path(tempfile.mkdtemp(prefix="tenpads-pg-"))
        self._as: dict[str, Any] = {}
        if os.getuid() == 0:
            user = pwd.getpwnam("postgres")
            os.chown(self.folder, user.pw_uid, user.pw_gid)
            self._as = {"user": user.pw_uid, "group": user.pw_gid, "extra_groups": []}

    @property
    def url(self) -> str:
        return f"postgres://postgres@127.0.0.1:{self.port}/postgres"

    def _run(self, program: str, *words: str) -> None:
        command = [str(self._bin / program), "-D", str(self.folder / "data"), *words]
        quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "timeout": PATIENCE_S}
        subprocess.run(command, cwd=self.folder, check=True, **quiet, **self._as)

    def start(self) -> None:
        self._run("initdb", "-A", "trust", "-U", "postgres", "-E", "UTF8", "--no-sync")
        options = f"-p {self.port} -k {self.folder} -c listen_addresses=127.0.0.1"
        self._run("pg_ctl", "-w", "-o", options, "-l", str(self.folder / "log"), "start")

    def restart_at_once(self) -> None:
        """As after a power cut: no session is let finish, and the log is replayed."""
        self._run("pg_ctl", "-w", "-m", "immediate", "-l", str(self.folder / "log"), "restart")

    def stop(self) -> None:
        with contextlib.suppress(subprocess.CalledProcessError):
            self._run("pg_ctl", "-w", "-m", "immediate", "stop")
        shutil.rmtree(self.folder, ignore_errors=True)


def _postgresql_programs() -> Path:
    found = shutil.which("initdb") or next(iter(sorted(glob.glob("/usr/lib/postgresql/*/bin/initdb"))), None)
    if found is None:
        pytest.skip("no initdb on this machine")
    return Path(found).resolve().parent


class Ours:
    """One of our processes, with all its children in a group of their own."""

    def __init__(self, *words: str, environment: dict[str, str], log: Path) -> None:
        self._words, self._environment, self._log = words, environment, log
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        keep = {k: v for k, v in os.environ.items() if not k.startswith(("DJANGO_", "TENPADS_", "PYTEST_"))}
        with self._log.open("ab") as log:
            self.process = subprocess.Popen(
                [sys.executable, *self._words], cwd=ROOT, env=keep | self._environment, stdout=log,
                stderr=subprocess.STDOUT, start_new_session=True,
            )  # fmt: skip

    def children(self) -> list[int]:
        assert self.process
        path = Path(f"/proc/{self.process.pid}/task/{self.process.pid}/children")
        return [int(word) for word in path.read_text().split()]

    def kill_group(self) -> None:
        if self.process and self.process.poll() is None:
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait(20)

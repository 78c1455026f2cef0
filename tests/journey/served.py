"""A served demo in a process of its own, for journeys: start, find the address, kill, start again."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
LISTENING = re.compile(r"Listening on (http://127\.0\.0\.1:\d+)")
PATIENCE_S = 180.0


class Served:
    """`manage.py demo` on a folder of its own."""

    def __init__(self, data: Path, **environment: str) -> None:
        self.data = data
        keep = {k: v for k, v in os.environ.items() if not k.startswith(("DJANGO_", "TENPADS_", "PYTEST_"))}
        self._environment = keep | {"COACHING_NO_BOOTSTRAP": "1", "PYTHONUNBUFFERED": "1"} | environment
        self.process: subprocess.Popen[str] | None = None
        self.address = ""
        self.said = ""

    def run(self, *words: str) -> subprocess.CompletedProcess[str]:
        """One verb on the same data, to its end."""
        command = [sys.executable, "manage.py", *words, "--data", str(self.data)]
        return subprocess.run(
            command, cwd=ROOT, env=self._environment, capture_output=True, text=True, timeout=PATIENCE_S, check=False
        )

    def start(self, *words: str) -> float:
        """Start the demo and wait until it listens; returns the seconds that took."""
        began = time.monotonic()
        command = [sys.executable, "manage.py", "demo", "--data", str(self.data), *words]
        self.process = subprocess.Popen(
            command, cwd=ROOT, env=self._environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
            start_new_session=True,
        )  # fmt: skip
        assert self.process.stdout
        for line in self.process.stdout:
            self.said += line
            if found := LISTENING.search(line):
                self.address = found.group(1)
                return time.monotonic() - began
        raise AssertionError(f"the demo ended without listening:\n{self.said}")

    def kill(self) -> None:
        """End all of it at once, as a power cut would."""
        if self.process and self.process.poll() is None:
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait(20)

    def get(self, path: str) -> str:
        with urllib.request.urlopen(self.address + path, timeout=20) as answer:  # noqa: S310 - a loopback address
            return answer.read().decode()

"""A small club on a real server whose clock a test sets, for journeys without a signal: `python -m
tests.journey.kept_world DATA PORT`. The clock is the file `clock` in the data folder; the server follows it within a
tenth of a second. The rest is as `manage.py serve` has it.
"""

from __future__ import annotations

import os
import re
import socket
import subprocess
import sys
import threading
import time
import urllib.request
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
PASSWORD = "skin that holds"
ATHLETES = tuple(f"k{n:02}" for n in range(1, 13))
FURTHER = tuple(f"w{n:02}" for n in range(1, 16))
"""Those of the week without a signal."""
LISTENING = re.compile(r"Listening on (\S+)")


FAULTS = {
    "an entry is dropped": (
        "offline/queue.js", "await kept(entries.add(made));", "if (made.seq % 3) await kept(entries.add(made));",
    ),
    "gone before it is stored": (
        "offline/queue.js", "answer = await post(entry, {", "await remove(entry.id); answer = await post(entry, {",
    ),
    "one number for two": ("offline/queue.js", "own.seq += 1;", "own.seq += own.seq % 2 ? 0 : 1;"),
    "sent again as another": (
        "offline/queue.js", "async function post(entry, credentials) {",
        "async function post(entry, credentials) { if (!entry.twice) await post({ ...entry, twice: true,"
        " id: random(16), seq: entry.seq + 500 }, credentials);",
    ),
    "numbers by arrival": (
        "offline/queue.js", "seq: entry.seq, body", "seq: Math.round(performance.now() * 100), body",
    ),
    "a tap keeps its key": ("tally.js", "key.value = crypto.randomUUID();", ""),
    "a look forgets what it is of": ("offline/shapes.js", "episode_id: form.dataset.episode, stage", "stage"),
}  # fmt: skip
"""(file, what stands there, what a fault puts in its place): mistakes that would have been easy to make."""


def plant(fault: str, data: Path) -> None:
    """Before anything is served: the same static files, but for the fault."""
    from django.conf import settings

    file, right, wrong = FAULTS[fault]
    text = (ROOT / "coaching/config/static/tenpads" / file).read_text(encoding="utf-8")
    assert right in text, f"{fault}: {file} has another line by now"
    folder = data / "faults" / re.sub(r"\W", "-", fault)
    (folder / "tenpads" / file).parent.mkdir(parents=True, exist_ok=True)
    (folder / "tenpads" / file).write_text(text.replace(right, wrong), encoding="utf-8")
    settings.STATICFILES_DIRS = [folder, *settings.STATICFILES_DIRS]


class KeptWorld:
    """The server as a test holds it. `version` is put into the worker, so that the next start brings another one;
    `fault` names one of `FAULTS`, which is planted in what phones get.
    """

    def __init__(self, data: Path) -> None:
        self.data, self.address, self.port = data, "", 0
        self.process: subprocess.Popen[str] | None = None
        self.moves = 0

    def start(self, version: str = "", fault: str = "") -> None:
        if not self.port:
            with socket.socket() as probe:
                probe.bind(("127.0.0.1", 0))
                self.port = probe.getsockname()[1]
        keep = {k: v for k, v in os.environ.items() if not k.startswith(("DJANGO_", "TENPADS_", "PYTEST_"))}
        named = {"TENPADS_DATA": str(self.data), "KEPT_WORLD_VERSION": version, "KEPT_WORLD_FAULT": fault}
        named["COACHING_NO_BOOTSTRAP"] = "1"
        command = [sys.executable, "-m", "tests.journey.kept_world", str(self.data), str(self.port)]
        self.process = subprocess.Popen(
            command, cwd=ROOT, env=keep | named, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
        )
        said = ""
        assert self.process.stdout
        for line in self.process.stdout:
            said += line
            if found := LISTENING.search(line):
                self.address = found[1]
                return
        raise AssertionError(f"the server ended without listening:\n{said}")

    def stop(self) -> None:
        if self.process and self.process.poll() is None:
            self.process.terminate()
            self.process.wait(20)

    def travel(self, to: datetime) -> None:
        """Set the server's clock, and wait until it says so."""
        self.moves += 1
        (self.data / "clock").write_text(f"{to.astimezone(UTC).isoformat()} {self.moves}")
        for _ in range(100):
            with urllib.request.urlopen(f"{self.address}/healthz", timeout=20) as answer:  # noqa: S310 - loopback
                if abs((parsedate_to_datetime(answer.headers["Date"]) - to).total_seconds()) < 30:
                    return
            time.sleep(0.05)
        raise AssertionError("the server's clock did not follow")

    def asks(self, code: str, patience_s: float = 60) -> str:
        """What an expression says about the database, in a process of its own."""
        keep = {**os.environ, "TENPADS_DATA": str(self.data), "DJANGO_SETTINGS_MODULE": "coaching.config.settings"}
        setup = "import django; django.setup(); from athletes.records.models import *; import json\n"
        command = [sys.executable, "-c", f"{setup}{code}"]
        result = subprocess.run(command, cwd=ROOT, env=keep, capture_output=True, text=True, timeout=patience_s)
        assert result.returncode == 0, result.stderr
        return result.stdout.strip()


def build() -> None:
    """A squad that shares everything with its coaches, concluded on one morning, and a login for each."""
    from dataclasses import replace
    from datetime import timedelta

    from athletes.records.models import Account, Athlete, CheckIn, Damage
    from coaching.rules.conclusions import Deadline, Reason
    from tests import shown_cast as cast
    from tests import stored

    squad = stored.squad()
    rows = stored.athletes((*FURTHER, *ATHLETES), squad)
    Athlete.objects.update(timezone="Europe/Vienna")
    stored.share(rows)
    event, look = stored.event(), Deadline("look", None, stored.TODAY, 0, "due", "deadline.look", site=cast.CREASE)
    shown = cast.athlete(entries=(replace(cast.entry(), deadlines=(look,)),))
    stored.conclude(rows[:-1], event, shown)
    seen = Reason("disagreement", cast.CREASE, None, {"answers": 9, "mark": "pink"})
    stored.conclude(rows[-1:], event, replace(shown, entries=(cast.entry(reasons=(seen,)),)))
    nine = [stored.TODAY - timedelta(days=n) for n in range(9)]
    alike = {"athlete": rows[-1], "reserve": 8, "pull_pain": 0}
    CheckIn.objects.bulk_create([CheckIn(local_date=day, **alike) for day in nine])
    told = {"site": cast.CREASE, "kind": "split", "noticed_on": stored.TODAY - timedelta(days=4)}
    Damage.objects.bulk_create([Damage(athlete=row, code=f"d-{row.code}", **told) for row in rows])
    named = {row.code: stored.login("athlete", squad, [row]) for row in rows}
    named |= {f"coach{n}": stored.login("head-coach", squad, second=False) for n in (1, 2)}
    from django.contrib.auth.hashers import make_password

    hashed = make_password(PASSWORD)
    for name, account in named.items():
        Account.objects.filter(pk=account.pk).update(username=name, password=hashed, demo=True)


def follow(clock: Path) -> None:
    """In the process that answers: the clock of the file, from where it ticks on."""
    import time_machine

    seen, traveller = "", None
    while True:
        text = clock.read_text() if clock.exists() else ""
        if text.strip() and text != seen:
            if traveller:
                traveller.stop()
            traveller, seen = time_machine.travel(datetime.fromisoformat(text.split()[0]), tick=True), text
            traveller.start()
        threading.Event().wait(0.1)


def main(data: Path, port: int) -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coaching.config.settings")
    import django
    import time_machine

    django.setup()
    from django.db import transaction

    from coaching.config import offline
    from coaching.jobs import serving
    from coaching.usecases import set_up
    from tests import stored

    clock = data / "clock"
    if not clock.exists():
        set_up.migrate()
        with time_machine.travel(stored.NOW, tick=False), transaction.atomic():
            build()
        clock.write_text(stored.NOW.isoformat())
    if fault := os.environ.get("KEPT_WORLD_FAULT"):
        plant(fault, data)
    if version := os.environ.get("KEPT_WORLD_VERSION"):
        text = offline.worker_text().replace('"version": "', f'"version": "{version}')
        offline.worker_text = lambda: text  # type: ignore[assignment]

    class Untimed(serving._Application):  # type: ignore[misc]
        """A worker whose clock jumps looks late to its parent."""

        def load_config(self) -> None:
            super().load_config()
            self.cfg.set("timeout", 0)

    def in_worker() -> None:
        threading.Thread(target=follow, args=(clock,), daemon=True).start()

    serving._Application, serving._start_runner = Untimed, in_worker  # type: ignore[misc]
    serving.serve(port, lambda: print(f"Listening on http://127.0.0.1:{port}", flush=True))


def signed_in(page: Any, address: str, user: str) -> None:
    """Sign in, and wait until the worker is at work and holds what it keeps."""
    page.goto(f"{address}/login")
    page.fill("input[name=username]", user)
    page.fill("input[name=password]", PASSWORD)
    page.click("button[type=submit]:has-text('Sign in')")
    page.wait_for_url(lambda url: not url.endswith("/login"))


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]))

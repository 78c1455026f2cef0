"""Kill the process in the middle of a computation; the next start leaves nothing undone."""

from __future__ import annotations

import shutil
import sqlite3
import time
from pathlib import Path

from tests.journey.served import Served

BEHIND = "SELECT count(*) FROM ledger_staleness WHERE computed_rev < input_rev"
ALL = "SELECT count(*) FROM ledger_staleness"


def count(data: Path, query: str) -> int:
    with sqlite3.connect(data / "tenpads.sqlite3", timeout=20) as db:
        return int(db.execute(query).fetchone()[0])


def until(data: Path, wanted: range, patience_s: float = 60) -> int:
    """Poll the rows that are behind until their number is in the range."""
    deadline = time.monotonic() + patience_s
    while time.monotonic() < deadline:
        if (behind := count(data, BEHIND)) in wanted:
            return behind
        time.sleep(0.01)
    raise AssertionError(f"{count(data, BEHIND)} rows behind, wanted {wanted}")


def test_kill_during_a_computation_then_start_and_all_is_current(made_demo: Path, tmp_path: Path) -> None:
    data = tmp_path / "data"
    shutil.copytree(made_demo, data)
    served = Served(data, TENPADS_BATCH="1")
    served.start()
    with sqlite3.connect(data / "tenpads.sqlite3", timeout=20) as db:
        db.execute("UPDATE ledger_staleness SET input_rev = input_rev + 1")
    athletes = count(data, ALL)
    part = until(data, range(1, athletes))
    served.kill()
    assert 0 < count(data, BEHIND) <= part
    Served(data).run("demo", "--once")
    assert count(data, BEHIND) == 0

"""The first command of the README, from nothing to three names and a listening address."""

from __future__ import annotations

import os
import re
import shutil
from pathlib import Path

import pytest

from tests.journey.served import Served


def test_once_prints_three_names_with_reason_and_date_and_exits(tmp_path: Path) -> None:
    result = Served(tmp_path).run("demo", "--once")
    assert result.returncode == 0, result.stderr
    named = re.findall(r"^  (\S.+): (out of reach|act|tight|not known), (.+)$", result.stdout, re.MULTILINE)
    assert len(named) == 3
    weekdays = r"\b(Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d{1,2}\b|\btoday\b|\btonight\b|\btomorrow\b"
    reasons = re.findall(r"^      (.+)$", result.stdout, re.MULTILINE)
    assert len(reasons) == 3 and all(re.search(weekdays, line) for line in reasons)


def test_a_second_start_loads_and_computes_nothing_again(made_demo: Path) -> None:
    result = Served(made_demo).run("demo", "--once")
    assert "Loading" not in result.stdout and "Computing" not in result.stdout
    assert "Look at these 3 of 24 first" in result.stdout


def test_fresh_starts_over(made_demo: Path, tmp_path: Path) -> None:
    shutil.copytree(made_demo, tmp_path / "data")
    again = Served(tmp_path / "data").run("demo", "--once", "--fresh")
    assert again.returncode == 0 and "24 athletes loaded" in again.stdout


def test_fresh_does_not_touch_a_real_squad(tmp_path: Path) -> None:
    served = Served(tmp_path)
    served.run("migrate")
    assert served.run("import-bundle", "fixtures/demo/bundle").returncode == 0
    result = served.run("demo", "--once", "--fresh")
    assert result.returncode != 0 and "real squad" in result.stderr


def test_the_served_demo_says_where_it_listens_and_how_to_sign_in(demo: Served) -> None:
    assert demo.address.startswith("http://127.0.0.1:")
    assert '"alive": true' in demo.get("/healthz") and '"ready": true' in demo.get("/readyz")


def test_a_port_in_use_is_said_in_one_line(demo: Served, made_demo: Path) -> None:
    port = demo.address.rsplit(":", 1)[1]
    result = Served(made_demo).run("demo", "--port", port)
    assert result.returncode != 0 and f"Port {port} is in use" in result.stderr
    assert "Traceback" not in result.stderr


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such bits")
def test_nothing_of_a_fresh_demo_is_for_other_accounts(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "demo"
    assert Served(folder).run("demo", "--once", "--fresh").returncode == 0
    found = [folder.parent, folder, *folder.rglob("*")]
    assert folder / "tenpads.sqlite3" in found
    assert not [path for path in found if path.stat().st_mode & 0o077]

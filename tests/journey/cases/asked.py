"""Ask the service itself, by its command line, what it concludes from a bundle, and find one's way in the answer."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cache, cached_property
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from tests.journey.cases import further, situations, told, told_more
from tests.journey.cases.histories import Story, written

ROOT = Path(__file__).resolve().parents[3]
PATIENCE_S = 120
Found = dict[str, Any]


def asked_text(bundle: Path, as_of: date) -> str:
    """The very words of `assess`."""
    foreign = ("DJANGO_", "TENPADS_", "PYTEST_")
    environment = {key: value for key, value in os.environ.items() if not key.startswith(foreign)}
    command = [sys.executable, "manage.py", "assess", str(bundle), "--as-of", as_of.isoformat()]
    told = subprocess.run(
        command,
        cwd=ROOT,
        env=environment | {"COACHING_NO_BOOTSTRAP": "1"},
        capture_output=True,
        text=True,
        timeout=PATIENCE_S,
        check=False,
    )
    assert told.returncode == 0, told.stderr
    return told.stdout


@cache
def situations_text() -> str:
    """The answer to all situations at once, asked once in a test run."""
    return _asked_once(situations.stories(), situations.AS_OF)


@cache
def further_text() -> str:
    """The answer to the further situations at once, asked once in a test run."""
    return _asked_once(further.stories(), further.AS_OF)


@cache
def case_text(day: date) -> str:
    """The answer to the cases of that day in every telling, asked once in a test run."""
    return _asked_once(told.told(*told.CASES[day]), day)


@cache
def more_text(day: date) -> str:
    """The answer to a further case of that day with its neighbours, asked once in a test run."""
    return _asked_once(told_more.MORE[day](), day)


def _asked_once(stories: Iterable[Story], as_of: date) -> str:
    with TemporaryDirectory() as folder:
        return asked_text(written(Path(folder) / "bundle", stories), as_of)


@dataclass(frozen=True)
class Answer:
    """All that was concluded about one athlete."""

    athlete: Found
    entries: list[Found]

    @cached_property
    def first(self) -> Found:
        return self.entries[0]

    @property
    def today(self) -> Found:
        found: Found = self.athlete["today"]
        return found

    def deadlines(self, kind: str, entry: int = 0) -> list[Found]:
        return [one for one in self.entries[entry]["deadlines"] if one["kind"] == kind]

    def days(self, kind: str, entry: int = 0) -> list[str]:
        return [one["latest"] for one in self.deadlines(kind, entry)]

    def codes(self, entry: int = 0) -> list[str]:
        return [one["code"] for one in self.entries[entry]["reasons"]]

    def fallbacks(self, entry: int = 0) -> dict[str, Found]:
        return {one["code"]: one["cost"] for one in self.entries[entry]["fallbacks"]}

    def refused(self, form: str) -> list[tuple[str, str, bool]]:
        """Day, class and hardness of each refusal of a form."""
        rows = [one for one in self.athlete["refused"] if one["form"] == form]
        return [(one["date"], one["class"], one["hard"]) for one in rows]

    def limits(self) -> dict[str, Found]:
        return {one["date"]: one for one in self.athlete["limits"]}

    def steps(self, *forms: str) -> list[Found]:
        return [one for one in self.athlete["steps"] if not forms or one["form"] in forms]

    @property
    def verbs(self) -> set[str]:
        return {one["verb"] for one in self.athlete["steps"]}


def answers(text: str) -> dict[str, Answer]:
    """The answer of each athlete, entries by their event's code."""
    told = json.loads(text)
    rows = {one["athlete_id"]: one for one in told["athletes"]}
    return {
        key: Answer(row, [one for one in told["entries"] if one["athlete_id"] == key])
        for key, row in rows.items()
    }

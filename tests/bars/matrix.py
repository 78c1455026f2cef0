"""Who finds what, as a table with counts, and then the walk that holds it.

    python -m tests.bars.matrix

Addresses are those of the resolver; letters under a caller say what a GET with ids of their own club is answered. Then
every caller sends ids of others and of nobody to each, in the path, the query, forms and bodies, and the counts of
those pairs are printed. The exit code is that of the tests.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
GOLDEN = ROOT / "fixtures" / "golden" / "who_finds_what.json"


def table(told: dict[str, dict[str, int]]) -> str:
    """One line an address, one column a caller, and below it how often each was answered what."""
    callers = list(dict.fromkeys(name for row in told.values() for name in row))
    width = max(map(len, told)) + 1
    lines = [f"{n:2} {name}" for n, name in enumerate(callers, start=1)]
    lines.append(" " * width + " ".join(f"{n:3}" for n in range(1, len(callers) + 1)))
    for route, row in sorted(told.items()):
        lines.append(f"{'/' + route:{width}}" + " ".join(f"{row.get(name, '-'):>3}" for name in callers))
    for n, name in enumerate(callers, start=1):
        counts = Counter(str(row.get(name, "-")) for row in told.values())
        lines.append(f"{n:2} " + ", ".join(f"{times} x {status}" for status, times in sorted(counts.items())))
    lines.append(f"{len(told)} addresses, {len(callers)} callers, {len(told) * len(callers)} answers")
    return "\n".join(lines)


def main() -> int:
    print(table(json.loads(GOLDEN.read_text(encoding="utf-8"))), flush=True)
    return int(pytest.main(["-q", "-s", "-p", "no:cacheprovider", str(ROOT / "tests" / "bars" / "test_matrix.py")]))


if __name__ == "__main__":
    sys.exit(main())

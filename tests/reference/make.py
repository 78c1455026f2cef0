"""Make the reference values from general libraries, or check that they still make them; the product is not imported.

In an environment of its own (`pip install --require-hashes -r requirements-reference.lock`), from the root:
`python -m tests.reference.make` writes fixtures/reference anew, `--check` compares and fails on any difference. Each
file carries the names and versions of its libraries. They write the same bytes on one machine; on another the last
digits may differ, and what a search for a maximum found by more (each file says its own tolerance where that is so).
"""

from __future__ import annotations

import argparse
import json
import math
import sys
from pathlib import Path
from typing import Any

from tests.reference import make_air, make_numbers, make_states

REFERENCE = Path(__file__).parents[2] / "fixtures/reference"
FILES = {**make_air.FILES, **make_numbers.FILES, **make_states.FILES}
ALIKE = 1e-9


def gaps(made: Any, kept: Any, tolerance: float, where: str) -> list[str]:
    """Where two trees differ."""
    if isinstance(kept, dict) and isinstance(made, dict) and made.keys() == kept.keys():
        return [gap for key in kept for gap in gaps(made[key], kept[key], tolerance, f"{where}.{key}")]
    if isinstance(kept, list) and isinstance(made, list) and len(made) == len(kept):
        pairs = enumerate(zip(made, kept, strict=True))
        return [gap for k, (new, old) in pairs for gap in gaps(new, old, tolerance, f"{where}[{k}]")]
    if isinstance(kept, float) and isinstance(made, int | float):
        return [] if math.isclose(made, kept, rel_tol=tolerance, abs_tol=1e-12) else [f"{where}: {made} is not {kept}"]
    return [] if made == kept else [f"{where}: {made!r} is not {kept!r}"]


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--check", action="store_true", help="write nothing; say what differs")
    parser.add_argument("--out", type=Path, default=REFERENCE)
    chosen = parser.parse_args()
    wrong: list[str] = []
    for name, make in FILES.items():
        made = json.loads(json.dumps(make()))  # keys become words, as in the file
        path = chosen.out / name
        if chosen.check:
            kept = json.loads(path.read_text(encoding="utf-8"))
            wrong += gaps(made, kept, kept.get("tolerance", ALIKE), name)
        else:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(json.dumps(made, indent=1) + "\n", encoding="utf-8")
    print("\n".join(wrong) or f"{len(FILES)} files of reference values: {'the same again' if chosen.check else 'made'}")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())

"""Write the golden output of a model version: `python -m tests.reference.golden_models 2026.1`. A version that is in
use is never written again: a change of its numbers is a new version.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from coaching.science.versions import get
from tests.golden_course import outputs

GOLDEN = Path(__file__).parents[2] / "fixtures/golden"


def path_of(version: str) -> Path:
    return GOLDEN / f"model-{version}.json"


def main(version: str) -> None:
    path = path_of(version)
    if path.exists():
        raise SystemExit(f"{path.name} stands already; a change of numbers is a new version")
    path.write_text(json.dumps(outputs(get(version)), separators=(",", ":")) + "\n")


if __name__ == "__main__":
    main(sys.argv[1])

"""Branch coverage of what guards a record: access, consent, import, export and erasure, each by its own tests.

    python -m tests.bars.branches

Fails under 100 % and lists the lines never run and the branches never taken. A line may be left out with
`pragma: no cover` only where the reason stands behind it. Options after `--` go to pytest.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
RECORDS, USECASES = "athletes/records", "coaching/usecases"
MODULES = {
    "access": [
        f"{RECORDS}/{name}.py" for name in (
            "access", "access_listing", "access_seen", "access_words", "access_writing", "glass", "reads", "row_lock",
            "row_scope", "viewer",
        )
    ] + [f"{USECASES}/{name}.py" for name in ("access_log", "break_glass")],
    "consent": [f"{RECORDS}/{name}.py" for name in ("ages", "consents", "append_only_guard", "models/append_only")]
    + [f"{RECORDS}/bundle/consent_rows.py", f"{USECASES}/who_sees.py"],
    "import": [
        f"{RECORDS}/bundle/{name}.py" for name in (
            "columns", "loading", "pictures", "problems", "reading", "report", "shifting", "sources", "values", "zones",
        )
    ] + [f"{USECASES}/import_bundle.py"],
    "export": [f"{RECORDS}/bundle/{name}.py" for name in ("canonical", "files", "writing")]
    + [f"{RECORDS}/own_rows.py", f"{USECASES}/export_bundle.py", f"{USECASES}/export_own.py"],
    "erasure": [f"{RECORDS}/{name}.py" for name in ("erasing", "erasures", "register", "retention")]
    + [f"{USECASES}/erase.py", f"{USECASES}/retention.py"],
}  # fmt: skip
"""The modules that are held, by what they are for."""
TESTS = [
    "tests/unit/test_access.py", "tests/unit/test_consents.py", "tests/unit/test_reads.py",
    "tests/unit/test_listing.py", "tests/unit/test_bundle_import.py", "tests/unit/test_bundle_export.py",
    "tests/unit/test_bundle_bad_input.py", "tests/unit/test_guarded_edges.py",
    "tests/unit/test_guarded_files.py", "tests/unit/test_terms_and_words.py", "tests/unit/test_erasing_walk.py",
    "tests/unit/test_bundle_reading.py", "tests/unit/test_bundle_pictures.py", "tests/bars/test_register.py",
    "tests/bars/test_erasure.py", "tests/bars/test_row_lock.py",
]  # fmt: skip
REASON = re.compile(r"#.*pragma: no cover(?! - \w{3,})")


def unreasoned(files: list[str]) -> list[str]:
    """Lines that are left out without a reason behind the words."""
    found = []
    for file in files:
        for n, line in enumerate((ROOT / file).read_text(encoding="utf-8").splitlines(), start=1):
            if REASON.search(line):
                found.append(f"{file}:{n}: left out of the count without a reason")
    return found


def missed(report: dict[str, dict]) -> list[str]:  # type: ignore[type-arg]
    """Lines never run and branches never taken, from coverage's report in JSON."""
    found = []
    for file, told in sorted(report.items()):
        found += [f"{file}:{line}: never run" for line in told["missing_lines"]]
        lines = set(told["missing_lines"])
        for one, to in told["missing_branches"]:
            if one not in lines:
                found.append(f"{file}:{one}: never on to {'the end' if to < 0 else f'line {to}'}")
    return found


def measured(files: list[str], tests: list[str], options: list[str]) -> tuple[int, dict[str, dict]]:  # type: ignore[type-arg]
    """Exit code of the tests, and coverage's report by file."""
    with tempfile.TemporaryDirectory() as folder:
        data, out = Path(folder) / "data", Path(folder) / "report.json"
        env = {**os.environ, "COVERAGE_FILE": str(data), "COACHING_NO_BOOTSTRAP": "1"}
        run = [sys.executable, "-m", "coverage", "run", "--branch", f"--include={','.join(files)}", "-m", "pytest"]
        code = subprocess.run([*run, "-q", "-p", "no:cacheprovider", *options, *tests], cwd=ROOT, env=env).returncode
        told = [sys.executable, "-m", "coverage", "json", "-q", "-o", str(out), f"--include={','.join(files)}"]
        subprocess.run(told, cwd=ROOT, env=env, check=True)
        return code, json.loads(out.read_text(encoding="utf-8"))["files"]


def main(words: list[str]) -> int:
    options = words[words.index("--") + 1 :] if "--" in words else []
    files = [file for group in MODULES.values() for file in group]
    code, report = measured(files, TESTS, options)
    untold = [f"{file}: never imported" for file in files if file not in report]
    wrong = unreasoned(files) + untold + missed(report)
    for area, group in MODULES.items():
        sums = [report[file]["summary"] for file in group if file in report]
        there = sum(one["num_statements"] + one["num_branches"] for one in sums)
        done = sum(one["covered_lines"] + one["covered_branches"] for one in sums)
        print(f"{area}: {done} of {there} lines and branches in {len(group)} modules, {done / max(there, 1):.2%}")
    print("\n".join(wrong) or "every line and every branch is tested")
    return 1 if code or wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""Draw mutants by a seed, run each against its own tests, and say which survived."""

from __future__ import annotations

import argparse
import os
import random
import subprocess
import sys
import time

from tests.mutants.mutate import Mutant, files_of, modules, mutants

LONGEST_S = 120


def killed(mutant: Mutant) -> bool | None:
    """Whether a test failed; None where nothing tests the function. A fault that hangs is killed by its time."""
    tests = files_of(mutant)
    if not tests:
        return None
    command = [
        sys.executable,
        "-m",
        "pytest",
        "-q",
        "-x",
        "-p",
        "no:cacheprovider",
        "-p",
        "tests.mutants.plugin",
        *tests,
    ]
    place = {"MUTANT": f"{mutant.module}:{mutant.place}", "COACHING_NO_BOOTSTRAP": "1"}
    try:
        done = subprocess.run(command, env={**os.environ, **place}, capture_output=True, timeout=LONGEST_S, check=False)
    except subprocess.TimeoutExpired:
        return True
    return done.returncode != 0


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--count", type=int, default=40)
    parser.add_argument("--minutes", type=float, default=15.0)
    parser.add_argument("--modules", nargs="*", default=None, help="as filtering or air/sun; all without")
    parser.add_argument("--least", type=float, default=0.0, help="share to be killed, else the exit code is 1")
    chosen = parser.parse_args()
    every = [one for name in chosen.modules or modules() for one in mutants(name)]
    drawn = random.Random(chosen.seed).sample(every, min(chosen.count, len(every)))
    until = time.monotonic() + 60.0 * chosen.minutes
    counts = {True: 0, False: 0, None: 0}
    for mutant in drawn:
        if time.monotonic() > until:
            break
        dead = killed(mutant)
        counts[dead] += 1
        if not dead:
            fate = "survived" if dead is False else "has no test"
            print(
                f"{fate}: {mutant.module}:{mutant.place} {mutant.function} line {mutant.line}, {mutant.what}",
                flush=True,
            )
    run = sum(counts.values())
    share = counts[True] / run if run else 0.0
    print(f"seed {chosen.seed}: {run} of {len(drawn)} drawn from {len(every)}; killed {counts[True]}, {share:.0%}")
    return 0 if share >= chosen.least else 1


if __name__ == "__main__":
    sys.exit(main())

"""Seeded mutants of coaching.science, each run against the tests that its function names as its source.

    python -m tests.mutants.run --seed 1 --count 40 --minutes 15

Nothing on disk is changed: a mutant lives in the import of the process that tests it. Only on demand; CI runs a few.
"""

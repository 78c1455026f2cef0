"""Seeded mutants of coaching.science, each run against the tests of its module: those that its docstrings name, and
those that import it.

    python -m tests.mutants.run --seed 1 2 3 --count 40 --minutes 60

Nothing on disk is changed: a mutant lives in the import of the process that tests it. Only on demand; CI runs a few.
Faults that change no number anybody gets are listed with their reasons in no_other_numbers.toml and not counted.
"""

"""What stands of an athlete's trials of one form: the newest result that says something, unless two say opposite."""

from __future__ import annotations

from collections.abc import Sequence

from coaching.rules.facts import TriedFact
from coaching.rules.trial_verdict import NOT, WORKS, WORSE

REOPENED = "reopened"
SIDES = {WORKS: 1, NOT: -1, WORSE: -1}


def standing(ended: Sequence[TriedFact]) -> dict[tuple[str, str], str]:
    """By form and outcome: works, does-not, worse, reopened, or the verdict of the only open one.

    Open results settle nothing and unsettle nothing; of two that do say something and disagree neither stands.
    """
    found: dict[tuple[str, str], str] = {}
    for one in sorted(ended, key=lambda each: each.day):
        key, before = (one.form, one.outcome), found.get((one.form, one.outcome))
        if one.verdict not in SIDES:
            found.setdefault(key, one.verdict)
        elif before in SIDES and SIDES[before] != SIDES[one.verdict]:
            found[key] = REOPENED
        else:
            found[key] = one.verdict
    return found


def preferred(forms: Sequence[str], ended: Sequence[TriedFact]) -> list[str]:
    """The forms with those that worked in front and those that did nothing, or the opposite, left out."""
    stands = standing(ended)
    sides: dict[str, list[int]] = {}
    for (form, _), code in stands.items():
        if code in SIDES:
            sides.setdefault(form, []).append(SIDES[code])
    works = [form for form in forms if 1 in sides.get(form, [])]
    fails = {form for form in forms if sides.get(form) and 1 not in sides[form]}
    return works + [form for form in forms if form not in works and form not in fails]

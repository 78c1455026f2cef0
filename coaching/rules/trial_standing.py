"""What stands of an athlete's trials of one form: the newest result that says something, unless two say opposite."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

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


@dataclass(frozen=True)
class OwnWord:
    """What an athlete's own trials say of a form. `code`: works, does-not or reopened; `day` of the newest result."""

    code: str
    day: date


def own_words(ended: Sequence[TriedFact]) -> dict[str, OwnWord]:
    """By form, where anything was said: works where it does so for any outcome, does-not where for none; reopened where
    nothing but two results that disagree is left. Open results say nothing.
    """
    codes: dict[str, list[str]] = {}
    for (form, _), code in standing(ended).items():
        codes.setdefault(form, []).append(code)
    found = {}
    for form, said in codes.items():
        days = [one.day for one in ended if one.form == form and one.verdict in SIDES]
        sides = [SIDES[code] for code in said if code in SIDES]
        word = WORKS if 1 in sides else NOT if sides else REOPENED
        if days:
            found[form] = OwnWord(word, max(days))
    return found


def preferred(forms: Sequence[str], ended: Sequence[TriedFact]) -> list[str]:
    """The forms with those that worked in front and those that did nothing, or the opposite, left out."""
    words = own_words(ended)
    works = [form for form in forms if form in words and words[form].code == WORKS]
    return works + [form for form in forms if form not in works and not (form in words and words[form].code == NOT)]

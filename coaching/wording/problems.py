"""Why a value was not taken, and what to do about it."""

from __future__ import annotations

from typing import Protocol

from django.utils.translation import gettext

from coaching.wording.scales import question_name
from coaching.wording.sentences import capital


class Refused(Protocol):
    """A value that was not taken: its field, what is wrong with it, and what would be taken."""

    field: str
    problem: str
    remedy: str


def problem(refused: Refused) -> str:
    """ "reserve: is over 10. Use 0 to 10." in the reader's language where the words are known."""
    said = gettext("%(field)s: %(problem)s.") % {
        "field": question_name(refused.field),
        "problem": gettext(refused.problem),
    }
    return f"{said} {capital(gettext(refused.remedy))}." if refused.remedy else said

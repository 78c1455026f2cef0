"""The questions of the check-in: their names, the words at both ends, and answers given in words."""

from __future__ import annotations

from typing import Protocol

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from coaching.wording.care import MARKS
from coaching.wording.numbers import rating
from coaching.wording.sites import site
from coaching.wording.verdicts import red_flags

NAMES = {
    "reserve": _("reserve"),
    "dampness": _("dampness"),
    "hardness": _("hardness"),
    "sting": _("sting"),
    "pull_pain": _("pain when pulling hard"),
}
ENDS = {
    "reserve": (_("gone"), _("plenty")),
    "dampness": (_("bone dry"), _("dripping")),
    "hardness": (_("soft"), _("glassy")),
    "sting": (_("none"), _("worst")),
    "pull_pain": (_("none"), _("worst")),
}
EFFORT_ENDS = (_("rest"), _("the hardest ever"))
QUESTIONS = {
    "day": _("day"),
    "local_date": _("day"),
    "agent_used": _("drying agent"),
    "infected": _("signs of infection"),
    "note": _("note"),
    "stage": _("stage of the damage"),
    "opens": _("opens on a pull"),
    "pain": _("pain on a firm pull"),
    "skin_limited": _("did skin limit you"),
    "minutes": _("minutes"),
    "rpe": _("effort"),
    "surface": _("surface"),
    "hard_tries": _("hard tries"),
    "place_id": _("place"),
    "began": _("hour it began"),
    "site": _("place on the hand"),
    "kind": _("what it is"),
    "bled": _("blood or fluid"),
    "red_below": _("pink or red below"),
    "length_mm": _("length"),
    "worries": _("worries"),
    "noticed": _("day it was noticed"),
    "noticed_on": _("day it was noticed"),
    "cause": _("own words"),
    "photo": _("photo"),
    "key": _("count"),
    "__all__": _("answers"),
}


class Answers(Protocol):
    """What has been stored of one morning; None is not answered."""

    reserve: int | None
    dampness: int | None
    hardness: int | None
    sting: int | None
    pull_pain: int | None
    agent_used: bool | None
    marks: tuple[tuple[str, str], ...]
    red_flags: tuple[str, ...]


def question_name(field: str) -> str:
    """The name of a question by its field; an episode's fields carry its id after a hyphen."""
    return str({**NAMES, **QUESTIONS}.get(field) or QUESTIONS.get(field.split("-")[0], field))


def sent(answers: Answers) -> list[str]:
    """Stored answers in words; questions that were left open are left out."""
    said = [
        gettext("%(what)s %(n)s") % {"what": name, "n": rating(getattr(answers, field))}
        for field, name in NAMES.items()
        if getattr(answers, field) is not None
    ]
    if answers.agent_used is not None:
        said.append(gettext("drying agent: yes") if answers.agent_used else gettext("drying agent: no"))
    said += [f"{site(place)}: {MARKS.get(mark, mark)}" for place, mark in answers.marks]
    if answers.red_flags:
        said.append(gettext("signs: %(flags)s") % {"flags": red_flags(answers.red_flags)})
    return said

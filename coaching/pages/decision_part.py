"""A decision that waits as templates read it, with what was typed kept where it could not be stored."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.http import QueryDict
from django.utils.translation import gettext

from coaching.usecases.plan_care import PLAN
from coaching.usecases.waiting import Waiting
from coaching.wording import deadlines, fallbacks, plans
from coaching.wording.sentences import Sentence

ANSWERS = ("accept", "change", "decline")
SOON_DAYS = 1


@dataclass(frozen=True)
class DecisionLine:
    """One decision; `typed` and `wrong` only where this very one was answered and not taken."""

    found: Waiting
    typed: QueryDict | None = None
    wrong: str = ""

    @property
    def code(self) -> str:
        return self.found.athlete.code

    @property
    def name(self) -> str:
        return self.found.athlete.name

    @property
    def key(self) -> str:
        return self.found.key

    @property
    def plan(self) -> bool:
        return self.found.kind == PLAN

    @property
    def by(self) -> str:
        return plans.by(self.found)

    @property
    def what(self) -> str:
        return plans.decision(self.found)

    @property
    def depends(self) -> str:
        one = self.found.deadline
        return deadlines.depends_on(one, self.found.athlete.as_of) if one else ""

    @property
    def costs(self) -> list[tuple[str, str]]:
        return plans.cost(self.found)

    @property
    def fallbacks(self) -> list[Sentence]:
        return [fallbacks.fallback(one, self.found.athlete.as_of) for one in self.found.fallbacks]

    @property
    def answers(self) -> list[tuple[str, str, bool]]:
        chosen = self.typed.get("answer") if self.typed else ""
        return [(code, str(plans.ANSWERS[code]), code == chosen) for code in ANSWERS]

    @property
    def why(self) -> str:
        return (self.typed.get("why") or "") if self.typed else ""

    @property
    def open(self) -> bool:
        return bool(self.wrong)

    @property
    def soon(self) -> bool:
        """Due today or tomorrow, or overdue."""
        return (self.found.by - self.found.athlete.as_of).days <= SOON_DAYS

    @property
    def why_rule(self) -> str:
        """Where the rulebook says why; a plan says so of each of its steps itself."""
        return self.found.deadline.rule if self.found.deadline else ""


@dataclass(frozen=True)
class Group:
    """All that waits about one athlete, the nearest first; open where something is due by tomorrow or was not taken."""

    lines: tuple[DecisionLine, ...]

    @property
    def code(self) -> str:
        return self.lines[0].code

    @property
    def name(self) -> str:
        return self.lines[0].name

    @property
    def said(self) -> str:
        """ "3, the first by Thu 18"."""
        return gettext("%(n)d, the first by %(by)s") % {"n": len(self.lines), "by": self.lines[0].by}

    @property
    def open(self) -> bool:
        return any(one.soon or one.open for one in self.lines)


def groups(lines: Sequence[DecisionLine]) -> list[Group]:
    """By athlete, in the order of what is nearest of each."""
    found: dict[str, list[DecisionLine]] = {}
    for one in lines:
        found.setdefault(one.code, []).append(one)
    return [Group(tuple(of_one)) for of_one in found.values()]

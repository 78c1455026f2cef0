"""A decision that waits as templates read it, with what was typed kept where it could not be stored."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import QueryDict

from coaching.usecases.plan_care import PLAN
from coaching.usecases.waiting import Waiting
from coaching.wording import deadlines, fallbacks, plans
from coaching.wording.sentences import Sentence

ANSWERS = ("accept", "change", "decline")


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

"""A plan as templates read it: chances before and after, then each step with rule, effect, how-to and caution."""

from __future__ import annotations

from dataclasses import dataclass

from coaching.usecases.planned import Planned
from coaching.wording import care, cautions, dates, plans


@dataclass(frozen=True)
class StepLine:
    """One step; `key` numbers it for the form."""

    key: int
    days: str
    what: str
    part: str
    effect: str
    own_trial: str
    rule: str
    how: str
    caution: str
    source: str
    source_text: str


@dataclass(frozen=True)
class ChanceLine:
    event: str
    when: str
    before: str
    after: str
    change: str


@dataclass(frozen=True)
class PlanPart:
    """One plan in words."""

    plan: Planned

    @property
    def none(self) -> str:
        return plans.none(self.plan)

    @property
    def chances(self) -> list[ChanceLine]:
        return [
            ChanceLine(
                one.name, dates.weekday(one.first_day, self.plan.as_of), *plans.before_after(one), plans.gain(one)
            )
            for one in self.plan.entries
        ]

    @property
    def steps(self) -> list[StepLine]:
        plan = self.plan
        return [
            StepLine(
                key=n,
                days=plans.days(step, plan.as_of),
                what=plans.what(step),
                part=plans.part(step),
                effect=plans.effect(step, len(plan.steps)),
                own_trial=plans.own_trial(step),
                rule=plans.why(step),
                how=care.rulebook_text(step.how),
                caution=cautions.rule(step.caution),
                source=care.source(step.source),
                source_text=care.rulebook_text(step.source),
            )
            for n, step in enumerate(plan.steps)
        ]

    @property
    def asks(self) -> str:
        return plans.asks(self.plan)

    @property
    def notes(self) -> list[str]:
        said = (plans.compared(self.plan), plans.practice(self.plan), *plans.left_out(self.plan))
        return [one for one in said if one]

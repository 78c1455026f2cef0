"""All that the rules look at for one athlete on one day, worked out once."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property

from coaching.rules import damage, holds, medical, skin
from coaching.rules.damage import Damage
from coaching.rules.facts import AthleteFacts, CareFact, EntryFact, OverruledFact
from coaching.rules.numbers import AthleteNumbers, EntryNumbers
from coaching.rules.rulebook import Rulebook

BY_WHAT_WAS = (
    "medical", "silent", "pink", "pink_lately", "kind", "glassy", "worn", "damages", "entries", "stopped",
    "_done_by_form",
)  # fmt: skip
"""What is worked out from answers, looks and done care alone: no planned row changes it."""


@dataclass(frozen=True)
class Case:
    facts: AthleteFacts
    numbers: AthleteNumbers
    as_of: date
    book: Rulebook

    @cached_property
    def medical(self) -> str:
        return medical.grade(self.facts, self.as_of)

    @property
    def medical_stop(self) -> bool:
        return medical.stops_climbing(self.medical)

    @cached_property
    def silent(self) -> bool:
        return skin.is_silent(self.facts, self.as_of)

    @cached_property
    def pink(self) -> skin.Pink | None:
        return skin.pink(self.facts, self.as_of)

    @cached_property
    def pink_lately(self) -> skin.Pink | None:
        """Tips pink within the last five days, whether or not they were seen well since."""
        return skin.pink(self.facts, self.as_of, lately=True)

    @cached_property
    def kind(self) -> str | None:
        return skin.kind(self.facts, self.numbers)

    @cached_property
    def glassy(self) -> bool:
        """Over-dried: a mark within three days, or a rating of the hardness itself."""
        marks = skin.marked(self.facts, "glassy", self.as_of)
        return bool(marks) or self.numbers.hardness_mean_pt >= skin.GLASSY_PT

    @cached_property
    def worn(self) -> bool:
        """The athlete's own answer of today leaves nothing to climb on, wherever it is."""
        return any(one.day == self.as_of and skin.is_worn(one) for one in self.facts.checkins)

    @cached_property
    def damages(self) -> tuple[Damage, ...]:
        return damage.unsound(self.facts, self.numbers, self.as_of)

    @cached_property
    def entries(self) -> tuple[EntryFact, ...]:
        """Entries that are not over and not withdrawn, by their first day.

        One that has begun is left out where the models look ahead only and gave it no number.
        """
        live = [one for one in self.facts.entries if one.last_day >= self.as_of and one.status != "withdrawn"]
        live = [one for one in live if one.first_day > self.as_of or one.event_id in self.numbers.entries]
        return tuple(sorted(live, key=lambda one: (one.first_day, one.event_id)))

    @property
    def minor(self) -> bool:
        """Under 18; an age that nobody knows counts as a minor's."""
        return self.facts.age_years is None or self.facts.age_years < 18

    def competes_on(self, day: date) -> bool:
        """Days of a competition are climbed or given up; days of a trip can be rested like any other."""
        return any(one.kind == "competition" and one.first_day <= day <= one.last_day for one in self.entries)

    def damages_for(self, entry: EntryFact) -> tuple[Damage, ...]:
        return tuple(one for one in self.damages if holds.bears_on(entry, one.fact))

    def numbers_for(self, entry: EntryFact) -> EntryNumbers:
        """Raises ValueError where the models gave no number for the entry."""
        found = self.numbers.entries.get(entry.event_id)
        if found is None:
            raise ValueError(f"no readiness for event {entry.event_id} of athlete {self.facts.athlete_id}")
        return found

    def done(self, form: str) -> tuple[CareFact, ...]:
        """Done care of that form up to today, in the order of the facts."""
        return self._done_by_form.get(form, ())

    @cached_property
    def planned(self) -> tuple[CareFact, ...]:
        """Planned care of today and later, by day."""
        rows = [row for row in self.facts.care if row.status == "planned" and row.day >= self.as_of]
        return tuple(sorted(rows, key=lambda row: (row.day, row.verb, row.form, row.part or "")))

    def without_planned(self, form: str) -> Case:
        """The same athlete with a plan that leaves a form out."""
        care = tuple(one for one in self.facts.care if one.status != "planned" or one.form != form)
        other = replace(self, facts=replace(self.facts, care=care))
        known = vars(self)
        vars(other).update({name: known[name] for name in BY_WHAT_WAS if name in known})
        return other

    @cached_property
    def agents(self) -> tuple[tuple[CareFact, str], ...]:
        """Drying agents done, and those planned from today on, each with its ingredient, in the order of the facts."""
        named = ((row, self.book.ingredient(row.form)) for row in self.facts.care)
        return tuple((row, name) for row, name in named if name and self._counts(row))

    def _counts(self, row: CareFact) -> bool:
        return row.status == "done" or (row.status == "planned" and row.day >= self.as_of)

    @cached_property
    def stopped(self) -> dict[str, date]:
        """Forms stopped because the skin reacted, with the last day up to today on which it did."""
        found: dict[str, date] = {}
        for row in self.facts.care:
            if row.reaction == "stopped" and row.day <= self.as_of:
                found[row.form] = max(row.day, found.get(row.form, row.day))
        return found

    @cached_property
    def _done_by_form(self) -> dict[str, tuple[CareFact, ...]]:
        found: dict[str, list[CareFact]] = {}
        for row in self.facts.care:
            if row.status == "done" and row.day <= self.as_of:
                found.setdefault(row.form, []).append(row)
        return {form: tuple(rows) for form, rows in found.items()}

    def overruled(self, row: CareFact, class_: str) -> OverruledFact | None:
        """The word of the person who overruled that pause for that form and day; None: nobody has."""
        said = [
            one
            for one in self.facts.overruled
            if (one.form, one.class_, one.day) == (row.form, class_, row.day) and one.given_on <= self.as_of
        ]
        return max(said, key=lambda one: one.given_on, default=None)

    def agents_in_use(self) -> tuple[str, ...]:
        """Forms of drying agent done in the last three weeks, the longest carry-over."""
        since = self.as_of - timedelta(days=21)
        rows = [row for row in self.facts.care if row.status == "done" and since <= row.day <= self.as_of]
        return tuple(dict.fromkeys(row.form for row in rows if self.book.is_agent(row.form)))

    @property
    def methenamine_in_use(self) -> bool:
        """It alone makes skin grow thick; an aluminium salt and a current do not."""
        return any(self.book.ingredient(form) == "methenamine" for form in self.agents_in_use())

    def signed(self, form: str, by: str, day: date) -> bool:
        """A sign-off for the form, or for its ingredient, in force on the day and already given."""
        names = {form, self.book.ingredient(form)} - {""}
        return any(
            one.form in names
            and one.by == by
            and one.given_on <= min(day, self.as_of)
            and (one.until is None or one.until >= day)
            for one in self.facts.signoffs
        )

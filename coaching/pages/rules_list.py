"""The rulebook as its template reads it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from coaching.rules import overrides
from coaching.rules.rulebook import VERBS, Contradiction, Practice
from coaching.usecases.rules_page import RulesPage
from coaching.wording import care, cautions, dates, rules


@dataclass(frozen=True)
class Entry:
    """One form of care; `rule` is the anchor that dates and refusals lead to."""

    rule: str
    name: str
    how: str
    lines: list[tuple[str, str]]
    caution: str
    source: str
    changed: list[str]


@dataclass(frozen=True)
class Counted:
    """One deadline of the rulebook."""

    rule: str
    name: str
    days: str
    source: str
    changed: list[str]


@dataclass(frozen=True)
class RulesShown:
    """The whole page."""

    found: RulesPage

    @property
    def version(self) -> str:
        return self.found.book.version

    @property
    def verbs(self) -> list[tuple[str, list[Entry]]]:
        forms = self.found.book.forms.values()
        return [(care.verb(verb), [self._entry(one.form) for one in forms if one.verb == verb]) for verb in VERBS]

    def _entry(self, form: str) -> Entry:
        rule = self.found.book.forms[form]
        caution, source = cautions.rule(rule.caution), care.rulebook_text(rule.source)
        how = care.rulebook_text(rule.how)
        return Entry(rule.rule, care.form(form), how, rules.lines(rule), caution, source, self._changed(rule.rule))

    @property
    def deadlines(self) -> list[Counted]:
        return [
            Counted(one.rule, rules.deadline(one), rules.pair(*sorted(one.days)), one.source, self._changed(one.rule))
            for one in self.found.book.deadlines.values()
        ]

    @property
    def practice(self) -> list[Practice]:
        found = self.found.book.practice.values()
        return [replace(one, says=care.rulebook_text(one.says), here=care.rulebook_text(one.here)) for one in found]

    @property
    def contradictions(self) -> list[Contradiction]:
        found = self.found.book.contradictions.values()
        text = care.rulebook_text
        return [replace(one, says=tuple(map(text, one.says)), here=text(one.here)) for one in found]

    @property
    def may_change(self) -> bool:
        return self.found.may_change

    @property
    def changeable(self) -> list[tuple[str, list[tuple[str, str]]]]:
        """(name of the entry, its (choice, name of the key)) for the form below the rulebook."""
        book = self.found.shipped
        named = [(one, care.form(one.form)) for one in book.forms.values()]
        counted = [(one, rules.deadline(one)) for one in book.deadlines.values()]
        return [
            (name, [(f"{one.rule}:{key}", str(rules.KEYS[key])) for key in overrides.keys_of(one)])
            for one, name in (*named, *counted)
        ]

    def _changed(self, rule: str) -> list[str]:
        """Each change of the club's own, with its day, its reason and who made it."""
        return [
            f"{rules.KEYS[one.key]}: {rules.value(one.value)}, {dates.long_day(one.from_day)}, {one.reason} ({one.by})"
            for one in self.found.changes
            if one.rule == rule
        ]

"""The athlete page as its template reads it: the reason first, then what it rests on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import partial

from django.utils.functional import cached_property
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from coaching.drawing.zones import all_sites
from coaching.pages import pictures
from coaching.pages.decision_part import DecisionLine
from coaching.pages.entry_part import EntryPart
from coaching.pages.rows import advice_of
from coaching.rules.conclusions import Step
from coaching.usecases.load_table import load_table
from coaching.usecases.shown import AthleteShown, LoadDay
from coaching.usecases.trial_squad import Tried
from coaching.usecases.waiting import Waiting
from coaching.wording import (
    care,
    cautions,
    dates,
    limits,
    load_words,
    numbers,
    overruled,
    refusals,
    sites,
    spoken,
    trial_results,
    unknowns,
    verdicts,
)
from coaching.wording.sentences import Sentence


@dataclass(frozen=True)
class SiteLine:
    """One line of the table of sites."""

    code: str
    place: str
    state: str
    details: str
    back: str


@dataclass(frozen=True)
class RefusalLine:
    """Refusals of one form; `days` are those on which a pause, and no hard stop, stands in the way."""

    said: Sentence
    instead: str
    who: str
    form: str
    rule: str
    days: list[tuple[str, str]]  # (ISO 8601, in words)


@dataclass(frozen=True)
class CareLine:
    """One step of care; the same step on several days is one line. `source` is one word."""

    days: str
    what: str
    where: str
    caution: str
    source: str
    source_text: str


@dataclass(frozen=True)
class Sheet:
    """The whole page of one athlete."""

    row: AthleteShown
    waiting: tuple[Waiting, ...] = ()
    tried: Tried | None = None
    took: Mapping[str, tuple[int, ...]] = field(default_factory=dict)

    @property
    def decisions(self) -> list[DecisionLine]:
        return [DecisionLine(one) for one in self.waiting]

    @property
    def plannable(self) -> bool:
        """A plan tells of answers and of damage; it is offered to whom both are shared."""
        return bool(self.row.entries) and self.damage_shared and self.checkins_shared

    @cached_property
    def first(self) -> EntryPart | None:
        return EntryPart(self.row, self.row.entries[0], self.took) if self.row.entries else None

    @property
    def later(self) -> list[EntryPart]:
        return [EntryPart(self.row, entry) for entry in self.row.entries[1:]]

    @property
    def verdict(self) -> str:
        return verdicts.verdict(self.row.today)

    @property
    def verdict_notes(self) -> list[str]:
        return verdicts.what_it_means(self.row.today)

    @property
    def advice(self) -> list[SafeString]:
        return cautions.each(partial(advice_of, self.row))

    @property
    def damage_shared(self) -> bool:
        return "damage" in self.row.shared

    @property
    def checkins_shared(self) -> bool:
        return "checkins" in self.row.shared

    @property
    def known(self) -> str:
        return unknowns.known_until(self.row)

    @property
    def unknowns(self) -> list[str]:
        return unknowns.unknowns(self.row)

    @property
    def hands(self) -> SafeString:
        return pictures.hands(self.row)

    @cached_property
    def _lines(self) -> list[SiteLine]:
        marks = pictures.site_marks(self.row.picture, self.row.as_of)
        found = {d.site: d for d in self.row.picture.damage if d.stage != "sound"} if self.row.picture else {}
        return [
            SiteLine(
                code,
                mark.place,
                mark.word,
                "; ".join(mark.details),
                unknowns.back_when(found[code], self.row.as_of) if code in found else "",
            )
            for code, mark in marks.items()
        ]

    @property
    def marked_sites(self) -> list[SiteLine]:
        return self._lines

    @property
    def other_sites(self) -> list[tuple[str, str]]:
        marked = {line.code for line in self._lines}
        return [(s.code, sites.site(s.code)) for s in all_sites() if s.code not in marked]

    @property
    def refused(self) -> list[RefusalLine]:
        as_of = self.row.as_of
        return [
            RefusalLine(
                said=refusals.refused(group, as_of),
                instead=refusals.instead(group[0]),
                who=refusals.who_may_overrule(group),
                form=group[0].form,
                rule=group[0].rule,
                days=[(day.isoformat(), dates.day(day, as_of)) for day in refusals.paused_days(group)],
            )
            for group in refusals.grouped(self.row.refused)
        ]

    @property
    def limits(self) -> list[tuple[Sentence, str]]:
        """(the limit, the entry of the rulebook that says why)."""
        return [(limits.limit(found, self.row.as_of), found.rule) for found in self.row.limits]

    @property
    def to_say(self) -> list[str]:
        """To be said before the warm-up, in half a minute."""
        return spoken.brief(self.row.today, self.row.limits, self.row.as_of)

    @property
    def steps(self) -> list[CareLine]:
        """Each step with its caution and its source, one line from its first day to its last."""
        days: dict[tuple[str, ...], list[date]] = {}
        for step in self.row.steps:
            days.setdefault(_care_words(step), []).append(step.date)
        return [CareLine(dates.days_list(found, self.row.as_of), *words) for words, found in days.items()]

    @property
    def figures(self) -> list[tuple[str, str]]:
        """Load of the week and state of the skin by name; "not known" and "undefined" are said."""
        shown = self.row.picture
        if shown is None:
            return []
        return [
            (
                gettext("load on skin, 7 days"),
                numbers.week_load(shown.load_7d_slu, shown.load_7d_unknown_days),
            ),
            (gettext("against one's own weeks"), numbers.percentile(shown.load_7d_percentile)),
            (gettext("monotony, 7 days"), numbers.monotony(shown.monotony)),
            (gettext("reserve, estimated"), numbers.rating(shown.reserve_mean_pt)),
            (gettext("reserve, usual"), numbers.rating(shown.usual_reserve_pt)),
            (gettext("dampness, estimated"), numbers.rating(shown.dampness_mean_pt)),
            (gettext("hardness, estimated"), numbers.rating(shown.hardness_mean_pt)),
        ]

    @property
    def trials(self) -> list[tuple[str, str, str]]:
        """(question, days, result) of the athlete's own trials, newest first."""
        return trial_results.lines(self.tried.rows) if self.tried else []

    @property
    def trials_stand(self) -> list[str]:
        return trial_results.stands(self.tried.stands.items(), own=False) if self.tried else []

    @property
    def load_compared(self) -> list[tuple[str, str]]:
        """The week beside the athlete's own weeks."""
        found = load_table(self.row.picture, self.row.as_of) if self.row.picture else None
        return load_words.rows(found) if found else []

    @property
    def load_caution(self) -> str:
        return str(load_words.RATIO_CAUTION)

    @property
    def load_days(self) -> list[tuple[str, str, str]]:
        """(day, done, planned) of the last seven days and the next seven."""
        shown = self.row.picture
        if shown is None:
            return []
        near = [d for d in shown.load if -7 <= (d.day - self.row.as_of).days <= 7]
        return [_load_day(d, self.row.as_of) for d in near]


def _care_words(step: Step) -> tuple[str, str, str, str, str]:
    """What, where, caution, the source in one word, the whole source: the words of one line."""
    return (
        care.care(step.verb, step.form),
        sites.site_list(step.sites),
        overruled.caution(step),
        care.source(step.source),
        care.rulebook_text(step.source),
    )


def _load_day(found: LoadDay, as_of: date) -> tuple[str, str, str]:
    done = numbers.load(found.done_slu) if found.day <= as_of else ""
    planned = numbers.load(found.plan_slu) if found.day >= as_of else ""
    return dates.weekday(found.day, as_of), done, planned

"""Today's list as its template reads it: the verdict, then limits, steps, looks, what was refused."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import partial

from django.utils.safestring import SafeString
from django.utils.translation import gettext, ngettext

from athletes.pages import drawings
from athletes.records.care_told import CareTold
from coaching.rules.conclusions import Deadline, Step
from coaching.usecases.shown import NextLook, TodayList
from coaching.usecases.tell_step import step_key
from coaching.wording import (
    care,
    cautions,
    conditions,
    dates,
    deadlines,
    limits,
    numbers,
    overruled,
    refusals,
    sites,
    trials,
    verdicts,
)
from coaching.wording.sentences import Sentence, capital


@dataclass(frozen=True)
class Told:
    """What the athlete told of a step today; `id` takes it back, `kept` is the step as a phone keeps it."""

    id: int
    what: str
    status: str
    done: bool
    kept: str


@dataclass(frozen=True)
class StepShown:
    """One step; `source` is one word, `source_text` the whole of it, `kept` the step as a phone keeps it."""

    verb: str
    form: str
    where: str
    how: str
    only_if: str
    caution: str
    source: str
    source_text: str
    hands: list[SafeString]
    key: str = ""
    kept: str = ""
    told: Told | None = None


@dataclass(frozen=True)
class LookShown:
    """A look that is due, and the damage whose form it leads to; empty where there is none."""

    when: str
    what: str
    state: str
    episode_id: str


@dataclass(frozen=True)
class PartOfDay:
    name: str
    steps: list[StepShown]


@dataclass(frozen=True)
class Today:
    """The whole page."""

    found: TodayList

    @property
    def as_of(self) -> date:
        return self.found.athlete.as_of

    @property
    def day(self) -> str:
        return dates.heading_day(self.as_of)

    @property
    def verdict(self) -> str:
        return verdicts.verdict(self.found.athlete.today)

    @property
    def verdict_notes(self) -> list[str]:
        return verdicts.what_it_means(self.found.athlete.today)

    @property
    def advice(self) -> list[SafeString]:
        return cautions.each(partial(verdicts.medical_advice, self.found.athlete.medical))

    @property
    def computing(self) -> bool:
        return self.found.athlete.computed_at is None or self.found.athlete.stale

    @property
    def count(self) -> str:
        n = len(self.found.steps_today)
        if not n:
            return gettext("No steps today.")
        return ngettext("%(n)d step today.", "%(n)d steps today.", n) % {"n": n}

    @property
    def parts(self) -> list[PartOfDay]:
        """Steps by part of the day, in its order."""
        found = []
        for code, name in care.PARTS_OF_DAY.items():
            steps = [s for s in self.found.steps_today if s.part == code]
            if steps:
                found.append(PartOfDay(capital(name), _steps(steps, code, self.as_of, self._told)))
        return found

    @property
    def _told(self) -> dict[str, Told]:
        return {one.key: _told(one) for one in self.found.told}

    @property
    def told_besides(self) -> list[Told]:
        """What was told of today and is on the list no more, once it is done."""
        keys = {step_key(step) for step in self.found.steps_today}
        return [_told(one) for one in self.found.told if one.key not in keys]

    @property
    def trial(self) -> tuple[int, str, str] | None:
        """The running trial: its number, its question, and what it asks today."""
        if self.found.trial is None:
            return None
        row, arm = self.found.trial
        return row.id, trials.question_of(row), trials.arm(row, arm)

    @property
    def tomorrow(self) -> list[str]:
        return [_in_a_line(step) for step in self.found.steps_tomorrow]

    @property
    def limits(self) -> list[Sentence]:
        """Limits of today and the days after it, the nearest first."""
        return [limits.limit(found, self.as_of) for found in self.found.athlete.limits]

    @property
    def sessions(self) -> list[str]:
        return [session_in_words(one) for one in self.found.sessions]

    @property
    def looks(self) -> list[LookShown]:
        """The next look at each damage within three days; then looks and taped tries for an event that are due within a
        week, or were missed. Each leads to the form of a look where there is damage there.
        """
        near = [one for one in self.found.next_looks if one.day <= self.as_of + timedelta(days=3)]
        known = {(one.site, one.day) for one in near}
        at = {one.site: one.episode_id for one in self.found.next_looks}
        found = [_next_look(one, self.as_of) for one in near]
        for one in self.found.looks:
            again = one.kind == "look" and (one.site, one.latest) in known
            if one.latest <= self.as_of + timedelta(days=7) and not again:
                when, what = deadlines.by_when(one, self.as_of), _look(one, self.as_of)
                found.append(LookShown(when, what, deadlines.state(one), at.get(one.site or "", "")))
        return found

    @property
    def refused(self) -> list[tuple[Sentence, str]]:
        groups = refusals.grouped(self.found.athlete.refused)
        return [(refusals.refused(group, self.as_of), refusals.instead(group[0])) for group in groups]


def _told(one: CareTold) -> Told:
    where = sites.site_list(one.sites)
    said = care.care(one.verb, one.form)
    status = gettext("done") if one.status == "done" else gettext("not done")
    what = f"{said}, {where}" if where else said
    return Told(one.id, what, status, one.status == "done", _kept(one))


def _kept(step: Step | CareTold) -> str:
    """A step as an entry of a phone's queue tells of it."""
    return json.dumps({"verb": step.verb, "form": step.form, "part": step.part, "sites": [*step.sites]})


def _steps(steps: Sequence[Step], part: str, as_of: date, told: Mapping[str, Told]) -> list[StepShown]:
    return [_step(step, f"step-{part}-{n}", as_of, told) for n, step in enumerate(steps)]


def _step(step: Step, key: str, as_of: date, told: Mapping[str, Told]) -> StepShown:
    return StepShown(
        key=step_key(step),
        kept=_kept(step),
        told=told.get(step_key(step)),
        verb=care.verb(step.verb),
        form=care.form(step.form),
        where=sites.site_list(step.sites),
        how=care.rulebook_text(step.how),
        only_if=conditions.condition(step.if_, as_of) if step.if_ else "",
        caution=overruled.caution(step),
        source=care.source(step.source),
        source_text=care.rulebook_text(step.source),
        hands=drawings.small_hands(step.sites, key),
    )


def _in_a_line(step: Step) -> str:
    where = sites.site_list(step.sites)
    said = care.care(step.verb, step.form)
    return f"{said}, {where}" if where else said


def _next_look(one: NextLook, as_of: date) -> LookShown:
    what = gettext("look again: %(kind)s, %(site)s") % {"kind": care.KINDS[one.kind], "site": sites.site(one.site)}
    today = one.day <= as_of
    when = gettext("today") if today else dates.weekday(one.day, as_of)
    return LookShown(when, what, gettext("due") if today else "", one.episode_id)


def _look(found: Deadline, as_of: date) -> str:
    waits = deadlines.depends_on(found, as_of)
    return f"{deadlines.what(found)}, {waits}" if waits else deadlines.what(found)


def session_in_words(one: object) -> str:
    """The plan of a session: surface, minutes, effort, hard tries; what is not planned is left out."""
    surface, minutes = getattr(one, "surface", None), getattr(one, "minutes", None)
    effort, tries = getattr(one, "rpe", None), getattr(one, "hard_tries", None)
    if minutes == 0:
        return gettext("no session: the hands rest")
    said = [str(care.SURFACES.get(surface, surface))] if surface else []
    if minutes is not None:
        said.append(gettext("%(n)d min") % {"n": round(minutes)})
    if effort is not None:
        said.append(gettext("effort %(n)s") % {"n": numbers.rating(effort)})
    if tries is not None:
        said.append(ngettext("%(n)d hard try", "%(n)d hard tries", tries) % {"n": tries})
    return ", ".join(said) or gettext("planned, no details")

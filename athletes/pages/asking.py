"""The check-in page as its template reads it: questions, what was sent, the last answers beside them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from django.utils.functional import cached_property
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from athletes.pages import drawings
from athletes.pages.forms import PAINS, RATINGS, CheckIn
from athletes.records import choices
from coaching.usecases.shown import CheckInForm
from coaching.wording import care, dates, scales, sites, verdicts


@dataclass(frozen=True)
class Segment:
    """One thing to press. `was` is the day on which it was the answer, or empty."""

    value: str
    label: str
    chosen: bool
    was: str = ""
    picture: SafeString = SafeString("")
    note: str = ""


@dataclass(frozen=True)
class Question:
    """A row of segments under one name."""

    name: str
    title: str
    segments: tuple[Segment, ...]
    low: str = ""
    high: str = ""
    error: str = ""
    note: str = ""


@dataclass(frozen=True)
class EpisodeQuestions:
    title: str
    stage: Question
    opens: Question
    pain: Question


@dataclass(frozen=True)
class SitePanel:
    """What can be ticked at one site: (value, word, ticked) of marks and of damage."""

    code: str
    name: str
    marks: tuple[tuple[str, str, bool], ...]
    damage: tuple[tuple[str, str, bool], ...]
    deep: bool


@dataclass(frozen=True)
class DigitPanel:
    code: str
    name: str
    picture: SafeString
    sites: tuple[SitePanel, ...]


@dataclass(frozen=True)
class Asking:
    """Everything on the page."""

    asked: CheckInForm
    form: CheckIn
    ward: bool = False

    @property
    def day(self) -> str:
        return dates.heading_day(self.asked.day)

    @property
    def hands(self) -> SafeString:
        return drawings.tappable_hands(self.asked)

    @cached_property
    def panels(self) -> list[DigitPanel]:
        return [self._panel(code) for code in drawings.digit_codes()]

    def _panel(self, code: str) -> DigitPanel:
        codes = drawings.sites_of(code)
        return DigitPanel(
            code, sites.digit(code), drawings.digit(code, self.asked), tuple(map(self._site, codes))
        )

    def _site(self, code: str) -> SitePanel:
        picked = self.form.picked
        return SitePanel(
            code=code,
            name=sites.zone(code),
            marks=tuple(_ticks(code, care.MARKS, picked["marks"])),
            damage=tuple(_ticks(code, care.KINDS, picked["damage"])),
            deep=code in picked["deep"],
        )

    @property
    def picked_sites(self) -> list[tuple[str, str]]:
        """(site, what was ticked) for every site ticked so far; filled when the page comes back."""
        words = {**care.MARKS, **care.KINDS}
        found = [*self.form.pairs("marks"), *self.form.pairs("damage")]
        return [(site, f"{sites.site(site)}: {words[code]}") for site, code in found if code in words]

    @property
    def ratings(self) -> list[Question]:
        return [self._rating(name) for name in ("reserve", "dampness", "pull_pain")]

    @property
    def details(self) -> list[Question]:
        return [self._rating(name) for name in ("hardness", "sting")]

    @property
    def details_open(self) -> bool:
        return any(self._value(name) for name in ("hardness", "sting", "note"))

    def _rating(self, name: str) -> Question:
        low, high = scales.ENDS[name]
        segments = tuple(
            Segment(value, value, self._value(name) == value, self._was(name, int(value)))
            for value in RATINGS
        )
        return Question(name, str(scales.NAMES[name]), segments, str(low), str(high), self._error(name))

    @property
    def agent(self) -> Question:
        return self._yes_no("agent_used", gettext("A drying agent since yesterday?"), remembered=True)

    @property
    def infected(self) -> Question:
        """Never remembered from another day: a question of safety is answered anew."""
        return self._yes_no(
            "infected", gettext("Red, warm, swollen, throbbing or pus anywhere?"), remembered=False
        )

    @property
    def red_flags(self) -> list[tuple[str, str, bool]]:
        return [
            (code, str(verdicts.RED_FLAGS[code]), code in self.form.picked["red_flags"])
            for code in choices.RED_FLAGS
        ]

    @property
    def episodes(self) -> list[EpisodeQuestions]:
        return [self._episode(episode) for episode in self.asked.episodes]

    def _episode(self, episode: Any) -> EpisodeQuestions:
        key = episode.episode_id
        days = (self.asked.day - episode.noticed_on).days
        title = gettext("%(kind)s, %(site)s, day %(n)d") % {
            "kind": care.KINDS[episode.kind], "site": sites.site(episode.site), "n": days,
        }  # fmt: skip
        return EpisodeQuestions(title, self._stage(key, episode), self._opens(key), self._pain(key))

    def _stage(self, key: str, episode: Any) -> Question:
        name = f"stage-{key}"
        seen = episode.looked_before
        segments = tuple(
            Segment(
                stage,
                care.stage(stage),
                self._value(name) == stage,
                self._day(seen) if stage == episode.stage_before and seen else "",
                drawings.stage(stage),
                str(care.STAGES_EXPLAINED[stage]),
            )
            for stage in choices.STAGES
        )
        return Question(name, gettext("It looks"), segments, error=self._error(name))

    def _opens(self, key: str) -> Question:
        title = gettext("Did it open when the finger straightened?")
        note = gettext("Say what you saw. Do not bend, pull or load it to find out.")
        return self._yes_no(f"opens-{key}", title, remembered=False, note=note)

    def _pain(self, key: str) -> Question:
        name = f"pain-{key}"
        segments = tuple(Segment(value, value, self._value(name) == value) for value in PAINS)
        low, high = scales.ENDS["pull_pain"]
        return Question(
            name, gettext("Pain on a firm pull"), segments, str(low), str(high), self._error(name)
        )

    def _yes_no(self, name: str, title: str, *, remembered: bool, note: str = "") -> Question:
        was = {value: self._was(name, value == "yes") if remembered else "" for value in ("yes", "no")}
        words = {"yes": gettext("yes"), "no": gettext("no")}
        segments = tuple(Segment(v, words[v], self._value(name) == v, was[v]) for v in ("yes", "no"))
        return Question(name, title, segments, error=self._error(name), note=note)

    def _was(self, name: str, value: object) -> str:
        """The day of the last answers where they said this very value."""
        before = self.asked.before
        if before is None or getattr(before, name) is None or getattr(before, name) != value:
            return ""
        return self._day(before.local_date)

    def _day(self, when: date) -> str:
        return dates.weekday(when, self.asked.day)

    def _value(self, name: str) -> str:
        return str(self.form.data.get(name, "")) if self.form.is_bound else ""

    def _error(self, name: str) -> str:
        return " ".join(map(str, self.form.errors.get(name, []))) if self.form.is_bound else ""

    @property
    def note(self) -> str:
        return self._value("note")

    @property
    def errors(self) -> list[tuple[str, str, str]]:
        """(anchor, name of the question, what to do) for each error, in the order of the page."""
        if not self.form.is_bound:
            return []
        return [
            (
                "" if name == "__all__" else f"ask-{name}",
                scales.question_name(name),
                " ".join(map(str, found)),
            )
            for name, found in self.form.errors.items()
        ]

    @property
    def sent(self) -> list[str]:
        """What was sent for this day already, in words; empty on the first check-in."""
        return scales.sent(self.asked.already) if self.asked.already else []

    @property
    def sent_at(self) -> str:
        made = self.asked.already.made_at if self.asked.already else None
        return dates.clock_time(made.astimezone(ZoneInfo(self.asked.timezone))) if made else ""


def _ticks(site: str, words: dict[str, Any], picked: list[str]) -> list[tuple[str, str, bool]]:
    return [(f"{site}={code}", str(word), f"{site}={code}" in picked) for code, word in words.items()]

"""The page after a session as its template reads it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext

from athletes.pages.asking import Question, Segment
from athletes.pages.session_form import EFFORTS, SessionForm
from athletes.pages.today import session_in_words
from athletes.records import choices
from coaching.usecases.after_session import SessionAsked
from coaching.wording import care, dates, scales, tally


@dataclass(frozen=True)
class SessionPage:
    """Everything on the page."""

    asked: SessionAsked
    form: SessionForm
    ward: bool = False

    @property
    def day(self) -> str:
        return dates.heading_day(self.asked.day)

    @property
    def days(self) -> list[tuple[str, str, bool]]:
        """(date, word, chosen) of the days that one may tell of."""
        return [(one.isoformat(), self._day_word(one), one == self.asked.day) for one in self.asked.days]

    def _day_word(self, day: date) -> str:
        behind = (self.asked.today - day).days
        return {0: gettext("today"), 1: gettext("yesterday")}.get(behind) or dates.heading_day(day)

    @property
    def planned(self) -> str:
        return session_in_words(self.asked.planned) if self.asked.planned else ""

    @property
    def told(self) -> list[tuple[int, str, bool]]:
        """(number, what was told, whether it is the one on the page) of each session told of that day."""
        return [(one.ordinal, self._told(one), one.ordinal == self.asked.ordinal) for one in self.asked.told_that_day]

    def _told(self, one: object) -> str:
        limited = getattr(one, "skin_limited", None)
        words = {True: gettext("skin limited it"), False: gettext("skin did not limit it")}
        said = session_in_words(one)
        return f"{said}; {words[limited]}" if limited is not None else said

    @property
    def limited(self) -> Question:
        words = {"yes": gettext("yes"), "no": gettext("no")}
        segments = tuple(Segment(v, words[v], self._value("skin_limited") == v) for v in ("yes", "no"))
        note = gettext("Would you have gone on, or climbed harder, with fresh skin?")
        title = gettext("Did skin limit you?")
        return Question("skin_limited", title, segments, error=self._error("skin_limited"), note=note)

    @property
    def effort(self) -> Question:
        segments = tuple(Segment(v, v, self._value("rpe") == v) for v in EFFORTS)
        low, high = scales.EFFORT_ENDS
        return Question("rpe", gettext("Effort"), segments, str(low), str(high), self._error("rpe"))

    @property
    def surface(self) -> Question:
        segments = tuple(
            Segment(code, str(care.SURFACES[code]), self._value("surface") == code) for code in choices.SURFACES
        )
        return Question("surface", gettext("Mostly on"), segments, error=self._error("surface"))

    @property
    def places(self) -> list[tuple[str, str, bool]]:
        return [(code, name, self._value("place_id") == code) for code, name in self.asked.places]

    @property
    def minutes(self) -> tuple[str, str]:
        return self._value("minutes"), self._error("minutes")

    @property
    def hard_tries(self) -> tuple[str, str]:
        return self._value("hard_tries"), self._error("hard_tries")

    @property
    def began(self) -> tuple[str, str]:
        return self._value("began"), self._error("began")

    @property
    def counted(self) -> str:
        """What was counted in session, where it stands in the form."""
        found = self.asked.counted
        return tally.counted(found.total, found.tries) if found and found.total and not self.asked.told else ""

    @property
    def from_plan(self) -> bool:
        """What stands in the form comes from the plan and has not been confirmed."""
        return self.asked.told is None and self.asked.planned is not None and not self.form.is_bound

    @property
    def errors(self) -> list[tuple[str, str, str]]:
        if not self.form.is_bound:
            return []
        return [
            ("" if name == "__all__" else f"ask-{name}", scales.question_name(name), " ".join(map(str, said)))
            for name, said in self.form.errors.items()
        ]

    def _value(self, name: str) -> str:
        held = self.form.data.get(name) if self.form.is_bound else self.form.initial.get(name)
        return "" if held is None else str(held)

    def _error(self, name: str) -> str:
        return " ".join(map(str, self.form.errors.get(name, []))) if self.form.is_bound else ""

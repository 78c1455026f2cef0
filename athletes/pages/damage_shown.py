"""The note of damage as its template reads it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from django.utils.safestring import SafeString
from django.utils.translation import gettext

from athletes.pages import drawings
from athletes.pages.asking import Question, Segment
from athletes.pages.damage_form import LENGTHS, NOTICED, NoteForm, WithPhoto
from athletes.pages.site_picking import SitePick
from athletes.records import choices
from athletes.records.retention import PHOTO_DAYS
from coaching.drawing.sizes import draw_size
from coaching.usecases.note_damage import NoteAsked
from coaching.wording import care, damage_note, dates, scales, verdicts


@dataclass(frozen=True)
class Asked:
    """What both pages share: questions made of a form's fields."""

    asked: NoteAsked
    form: WithPhoto
    ward: bool = False

    @property
    def stage(self) -> Question:
        segments = tuple(
            Segment(code, care.stage(code), self.value("stage") == code, "", drawings.stage(code),
                    str(damage_note.STAGES_SEEN[code]))
            for code in choices.STAGES
        )  # fmt: skip
        return Question("stage", gettext("It looks"), segments, error=self.error("stage"))

    @property
    def bled(self) -> Question:
        return self.yes_no("bled", gettext("Did blood or clear fluid come?"))

    @property
    def infected(self) -> Question:
        return self.yes_no("infected", gettext("Red, warm, swollen, throbbing or pus?"))

    @property
    def red_flags(self) -> list[tuple[str, str, bool]]:
        return self.ticks("red_flags", choices.RED_FLAGS, verdicts.RED_FLAGS)

    @property
    def photo_error(self) -> str:
        return self.error("photo")

    @property
    def photo_days(self) -> int:
        return PHOTO_DAYS

    @property
    def errors(self) -> list[tuple[str, str, str]]:
        if not self.form.is_bound:
            return []
        return [
            ("" if name == "__all__" else f"ask-{name}", scales.question_name(name), " ".join(map(str, said)))
            for name, said in self.form.errors.items()
        ]

    def yes_no(self, name: str, title: str, note: str = "") -> Question:
        words = {"yes": gettext("yes"), "no": gettext("no")}
        segments = tuple(Segment(v, words[v], self.value(name) == v) for v in ("yes", "no"))
        return Question(name, title, segments, error=self.error(name), note=note)

    def ticks(self, name: str, codes: Sequence[str], words: Any) -> list[tuple[str, str, bool]]:
        picked = self.form.data.getlist(name) if self.form.is_bound else []  # type: ignore[attr-defined]
        return [(code, str(words[code]), code in picked) for code in codes]

    def value(self, name: str) -> str:
        held = self.form.data.get(name) if self.form.is_bound else self.form.initial.get(name)
        return "" if held is None else str(held)

    def error(self, name: str) -> str:
        return " ".join(map(str, self.form.errors.get(name, []))) if self.form.is_bound else ""


@dataclass(frozen=True)
class NotePage(Asked):
    """New damage."""

    form: NoteForm

    @property
    def pick(self) -> SitePick:
        return SitePick(self.value("site"), drawings.marks_of(self.asked.open), self.error("site"))

    @property
    def kind(self) -> Question:
        segments = tuple(
            Segment(code, str(care.KINDS[code]), self.value("kind") == code, note=str(damage_note.KINDS_SEEN[code]))
            for code in choices.DAMAGE_KINDS
        )
        return Question("kind", gettext("What is it?"), segments, error=self.error("kind"))

    @property
    def red_below(self) -> Question:
        title = gettext("Can you see pink or red below the surface?")
        return self.yes_no("red_below", title, gettext("Look only. Do not pull it apart."))

    @property
    def length(self) -> Question:
        segments = tuple(
            Segment(mm, gettext("%(n)s mm") % {"n": mm}, self.value("length_mm") == mm, picture=_size(int(mm)))
            for mm in LENGTHS
        )
        return Question("length_mm", gettext("How long, or how wide?"), segments, error=self.error("length_mm"))

    @property
    def worries(self) -> list[tuple[str, str, bool]]:
        return self.ticks("worries", choices.WORRIES, damage_note.WORRIES)

    @property
    def noticed(self) -> Question:
        today = self.asked.today
        words = [gettext("today"), gettext("yesterday"), dates.heading_day(today - timedelta(days=2))]
        segments = tuple(
            Segment(n, word, self.value("noticed") == n) for n, word in zip(NOTICED, words, strict=True)
        )
        title = gettext("Noticed: today, unless you say otherwise")
        return Question("noticed", title, segments, error=self.error("noticed"))

    @property
    def cause(self) -> str:
        return self.value("cause")


def _size(mm: int) -> SafeString:
    title = gettext("%(n)d mm beside a circle of %(c)d mm") % {"n": mm, "c": damage_note.CIRCLE_MM}
    return drawings.drawn(draw_size(mm, damage_note.CIRCLE_MM, title))

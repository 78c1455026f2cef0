"""One piece of damage, its looks and its pictures, as the template reads them."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.utils.safestring import SafeString
from django.utils.translation import gettext

from athletes.pages import drawings
from athletes.pages.asking import Question, Segment
from athletes.pages.damage_form import PAINS, LookForm
from athletes.pages.damage_shown import Asked
from athletes.records.retention import PHOTO_DAYS
from coaching.usecases.note_damage import Episode, PhotoOnFile
from coaching.usecases.see_photo import sign
from coaching.wording import care, damage_note, dates, scales, sites


@dataclass(frozen=True)
class PhotoShown:
    """One picture: its address, when it was made, how long it is kept."""

    name: str
    signature: str
    when: str
    kept: str


@dataclass(frozen=True)
class EpisodePage(Asked):
    """Damage that stands: what is known of it, its looks and pictures, and a look of today."""

    form: LookForm
    found: Episode = field(kw_only=True)
    session_key: str | None = field(kw_only=True)

    @property
    def title(self) -> str:
        one = self.found.damage
        return gettext("%(kind)s, %(site)s") % {"kind": care.KINDS[one.kind], "site": sites.site(one.site)}

    @property
    def today(self) -> str:
        return dates.heading_day(self.asked.today)

    @property
    def facts(self) -> list[str]:
        one = self.found.damage
        said = [
            gettext("noticed %(day)s, day %(n)d")
            % {"day": self._day(one.noticed_on), "n": (self.asked.today - one.noticed_on).days},
            str(care.DEPTHS[one.depth]) if one.depth else gettext("depth not known"),
            damage_note.length(one.length_mm),
            *damage_note.worries(one.worries),
            one.cause or "",
        ]
        return [word for word in said if word]

    @property
    def hand(self) -> list[SafeString]:
        return drawings.small_hands([self.found.damage.site], "where")

    @property
    def next_looks(self) -> str:
        return damage_note.next_looks(self.found.next_looks, self.asked.today)

    @property
    def looks(self) -> list[tuple[str, SafeString, str]]:
        """(day, the stage drawn, what was seen) of each look, newest first."""
        return [
            (self._day(one.local_date), drawings.stage(one.stage), _seen(one)) for one in self.found.looks
        ]

    @property
    def photos(self) -> list[PhotoShown]:
        return [self._photo(one) for one in self.found.photos]

    @property
    def opens(self) -> Question:
        title = gettext("Did it open when the finger straightened?")
        return self.yes_no("opens", title, gettext("Say what you saw. Do not bend, pull or load it to find out."))

    @property
    def pain(self) -> Question:
        segments = tuple(Segment(n, n, self.value("pain") == n) for n in PAINS)
        low, high = scales.ENDS["pull_pain"]
        return Question("pain", gettext("Pain on a firm pull"), segments, str(low), str(high), self.error("pain"))

    def _photo(self, one: PhotoOnFile) -> PhotoShown:
        kept = damage_note.kept_days(one.made_at.date(), self.asked.today, PHOTO_DAYS)
        return PhotoShown(one.name, sign(one.name, self.session_key), self._day(one.local_date), kept)

    def _day(self, day: date) -> str:
        return dates.weekday(day, self.asked.today)


def _seen(one: Any) -> str:
    said = [care.stage(one.stage)]
    if one.opens_on_pull is not None:
        said.append(gettext("opened") if one.opens_on_pull else gettext("stayed closed"))
    if one.bled is not None:
        said.append(gettext("blood or fluid") if one.bled else gettext("no blood"))
    if one.pain is not None:
        said.append(gettext("pain %(n)d of 10") % {"n": one.pain})
    return ", ".join(said)

"""The tally as its template reads it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from django.utils.safestring import SafeString

from athletes.pages import drawings
from athletes.pages.site_picking import SitePick
from athletes.pages.today import session_in_words
from athletes.records import choices
from coaching.usecases.tally import Tally
from coaching.wording import care, cautions, dates, limits, sites, tally, verdicts
from coaching.wording.sentences import Sentence


@dataclass(frozen=True)
class SurfaceButton:
    """One thing to press. `main`: the surface that is planned, or was counted last."""

    code: str
    word: str
    count: int
    main: bool


@dataclass(frozen=True)
class TallyPage:
    """Everything on the page."""

    found: Tally
    ward: bool = False

    @property
    def day(self) -> str:
        return dates.heading_day(self.found.day)

    @property
    def verdict(self) -> str:
        return verdicts.verdict(self.found.verdict)

    @property
    def verdict_notes(self) -> list[str]:
        return verdicts.what_it_means(self.found.verdict)

    @property
    def stopped(self) -> bool:
        """Today's verdict is no load or no climbing; what happens all the same can still be counted."""
        return self.found.verdict.may_climb in ("off", "medical")

    @property
    def advice(self) -> list[SafeString]:
        return cautions.each(partial(verdicts.medical_advice, self.found.medical))

    @property
    def limits(self) -> list[Sentence]:
        return [limits.limit(one, self.found.today) for one in self.found.limits]

    @property
    def stop_rules(self) -> list[str]:
        return [str(said) for said in tally.STOP_RULES]

    @property
    def total(self) -> int:
        return self.found.counted.total

    @property
    def total_words(self) -> str:
        return tally.tries(self.total)

    @property
    def by_surface(self) -> str:
        return tally.by_surface(self.found.counted.tries)

    @property
    def left(self) -> str:
        most = self.found.most_tries
        return "" if most is None else tally.of_most(self.total, most)

    @property
    def since(self) -> str:
        began = self.found.counted.began_at
        return tally.since(began, self.found.now) if began else ""

    @property
    def buttons(self) -> list[SurfaceButton]:
        """The likeliest surface first and large: the last one counted, else the planned one."""
        last = self.found.counted.last
        likely = (last.surface if last and last.what == "try" else "") or self._planned or "plastic"
        rest = [code for code in choices.SURFACES if code != likely]
        counts = self.found.counted.tries
        return [
            SurfaceButton(code, str(care.SURFACES[code]), counts.get(code, 0), code == likely)
            for code in (likely, *rest)
        ]

    @property
    def planned(self) -> str:
        return session_in_words(self.found.planned) if self.found.planned else ""

    @property
    def _planned(self) -> str:
        return (self.found.planned.surface or "") if self.found.planned else ""

    @property
    def ended(self) -> bool:
        return self.found.counted.end is not None

    @property
    def asks_where(self) -> bool:
        """It ended because skin was about to open, and nobody has said where."""
        end = self.found.counted.end
        return end is not None and end.what == "skin" and not end.site

    @property
    def ended_where(self) -> str:
        end = self.found.counted.end
        return sites.site(end.site) if end and end.site else ""

    @property
    def pick(self) -> SitePick:
        return SitePick("", drawings.marks_of(()))

"""The page of scored forecasts as its template reads it."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.safestring import SafeString
from django.utils.translation import gettext

from coaching.drawing.reliability import Mark, draw_reliability
from coaching.pages.pictures import drawn
from coaching.usecases.shown_right import FEWEST, FEWEST_A_BIN, Bin, Right
from coaching.wording import right


@dataclass(frozen=True)
class BinLine:
    said: str
    count: str
    held: str
    spread: str
    few: bool


@dataclass(frozen=True)
class HorizonPart:
    """One horizon against the rivals, with its scores."""

    name: str
    gains: list[tuple[str, str, str]]
    scores: list[tuple[str, str]]


@dataclass(frozen=True)
class RightPage:
    """The whole page."""

    found: Right

    @property
    def headline(self) -> str:
        return right.headline(self.found)

    @property
    def lead(self) -> str:
        return right.lead(self.found)

    @property
    def verdict(self) -> str:
        return right.verdict(self.found.bins)

    @property
    def afterwards(self) -> str:
        return right.afterwards(self.found)

    @property
    def damage_seen(self) -> str:
        return right.damage_seen(self.found)

    @property
    def judged(self) -> bool:
        return self.found.scored >= FEWEST

    @property
    def fewest_a_bin(self) -> int:
        return FEWEST_A_BIN

    @property
    def bins(self) -> list[BinLine]:
        return [BinLine(*right.bin_row(one), few=one.few) for one in self.found.bins]

    @property
    def picture(self) -> SafeString:
        """The shares as drawn; the table beside it says the same."""
        marks = [_mark(one) for one in self.found.bins]
        title = gettext("How often skin held against what was said. %(verdict)s") % {"verdict": self.verdict}
        return drawn(draw_reliability(marks, title, gettext("we said, of 100"), gettext("skin held, of 100")))

    @property
    def horizons(self) -> list[tuple[str, str, str, str, str]]:
        return [right.horizon_row(one) for one in self.found.horizons]

    @property
    def parts(self) -> list[HorizonPart]:
        return [
            HorizonPart(str(right.AHEAD[one.code]), [right.gain(g) for g in one.gains], right.score_rows(one))
            for one in self.found.horizons
            if one.brier is not None
        ]

    @property
    def ratings(self) -> list[tuple[str, str, str, str, str]]:
        return [right.rating_row(one) for one in self.found.ratings]

    @property
    def unscored(self) -> list[tuple[str, str]]:
        return right.unscored(self.found)

    @property
    def models(self) -> str:
        return ", ".join(self.found.models)


def _mark(one: Bin) -> Mark:
    return Mark(one.said_frac, one.held_frac, one.low, one.high, one.few)

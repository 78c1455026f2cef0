"""The roster, and what a spreadsheet would add to it, as their template reads them."""

from __future__ import annotations

from dataclasses import dataclass

from athletes.records.queries_squad import Member
from coaching.usecases.run_squad import COLUMNS, Preview, SquadPage
from coaching.wording import squad as words

MOST_ROWS, MOST_BAD = 12, 50


@dataclass(frozen=True)
class MemberLine:
    """One of the roster."""

    member: Member

    @property
    def shared(self) -> str:
        return words.shared(self.member.shared)

    @property
    def seen(self) -> bool:
        return "level" in self.member.shared


@dataclass(frozen=True)
class SquadShown:
    """The whole page."""

    page: SquadPage

    @property
    def headline(self) -> str:
        return words.roster(len(self.page.members), self.page.squad.name)

    @property
    def lines(self) -> list[MemberLine]:
        return [MemberLine(one) for one in self.page.members]

    @property
    def columns(self) -> str:
        return ", ".join(COLUMNS)


@dataclass(frozen=True)
class PreviewShown:
    """What would be added, or every bad row with its number."""

    found: Preview

    @property
    def title(self) -> str:
        if self.found.bad:
            return words.things(len(self.found.bad))
        return words.previewed(len(self.found.rows), self.found.known)

    @property
    def bad(self) -> list[str]:
        return [str(row) for row in self.found.bad[:MOST_BAD]]

    @property
    def rows(self) -> list[list[str]]:
        return [["" if cell is None else str(cell) for cell in row] for row in self.found.rows[:MOST_ROWS]]

    @property
    def more(self) -> int:
        return max(0, len(self.found.rows) - MOST_ROWS)

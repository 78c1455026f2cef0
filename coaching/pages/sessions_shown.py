"""The fortnight of planned sessions as its template reads it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from django.utils.translation import gettext

from athletes.records.queries_squad import Member
from coaching.usecases.plan_sessions import AHEAD_DAYS, SessionsPage
from coaching.wording import dates
from coaching.wording import squad as words


@dataclass(frozen=True)
class Cell:
    """One day of one athlete: what is planned, and what takes the day otherwise."""

    planned: str
    taken: str
    kind: str

    @property
    def clash(self) -> bool:
        """Something is planned on a day on which they are away."""
        return bool(self.planned) and self.kind not in ("", "event")


@dataclass(frozen=True)
class Line:
    member: Member
    cells: list[Cell]


@dataclass(frozen=True)
class SessionsShown:
    """The whole page."""

    page: SessionsPage

    @property
    def title(self) -> str:
        return dates.span(self.page.days[0], self.page.days[-1], self.page.today)

    @property
    def heads(self) -> list[tuple[str, str, bool]]:
        """(weekday, day of the month, whether it is the weekend)."""
        return [(str(dict(words.weekdays())[day.weekday()]), str(day.day), day.weekday() > 4) for day in self.page.days]

    @property
    def lines(self) -> list[Line]:
        return [Line(one, [self._cell(one.id, day) for day in self.page.days]) for one in self.page.members]

    def _cell(self, athlete_id: int, day: date) -> Cell:
        kind = self.page.taken.get((athlete_id, day), "")
        planned = words.day_planned(self.page.planned.get((athlete_id, day)))
        return Cell(planned, str(words.TAKEN.get(kind, "")), kind)

    @property
    def clashes(self) -> list[str]:
        """A session planned for somebody who is away that day."""
        return [
            gettext("%(name)s, %(day)s: a session is planned, and they are away (%(why)s).")
            % {"name": line.member.name, "day": dates.day(day, self.page.today), "why": cell.taken}
            for line in self.lines
            for day, cell in zip(self.page.days, line.cells, strict=True)
            if cell.clash
        ]

    @property
    def before(self) -> str:
        return (self.page.days[0] - timedelta(days=AHEAD_DAYS)).isoformat()

    @property
    def after(self) -> str:
        return (self.page.days[-1] + timedelta(days=1)).isoformat()

    @property
    def others(self) -> str:
        return ", ".join(one.name for one in self.page.others)

"""What a session's taps come to: tries by surface, from when to when, how it ended."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from athletes.records import taps
from athletes.records.access import AthleteRef
from athletes.records.taps import TapTold


@dataclass(frozen=True)
class Counted:
    """What was counted of one session: tries by surface, the first and the last tap in UTC, how it ended if it did."""

    ordinal: int
    tries: dict[str, int]
    began_at: datetime | None
    last_at: datetime | None
    end: TapTold | None
    last: TapTold | None

    @property
    def total(self) -> int:
        return sum(self.tries.values())

    @property
    def surface(self) -> str | None:
        """Where most of it was climbed; None where nothing was counted."""
        return next(iter(self.tries), None)

    @property
    def minutes(self) -> int | None:
        """Whole minutes from the first tap to the last; None with fewer than two."""
        if self.began_at is None or self.last_at is None or self.began_at == self.last_at:
            return None
        return max(1, round((self.last_at - self.began_at).total_seconds() / 60))


def of_session(found: tuple[TapTold, ...], ordinal: int) -> Counted:
    """The taps of a day that are of one session."""
    mine = [one for one in found if one.ordinal == ordinal]
    tries = [one for one in mine if one.what == "try"]
    end = next((one for one in reversed(mine) if one.what != "try"), None)
    return Counted(
        ordinal, taps.counts(tries), tries[0].made_at if tries else None, tries[-1].made_at if tries else None,
        end, mine[-1] if mine else None,
    )  # fmt: skip


def counted_of(athlete: AthleteRef, day: date, ordinal: int) -> Counted | None:
    """What was counted of one session; None where nothing was. One query."""
    found = of_session(taps.of_day(athlete.id, day), ordinal)
    return found if found.last else None

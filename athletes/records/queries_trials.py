"""Trials of athletes as plain values. Whoever asks has been let through the door."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from athletes.records.models import CheckIn, Membership, Session, Trial, TrialDay, TrialEnd, TrialPatch


@dataclass(frozen=True)
class TrialRow:
    """A trial as it was set up, and how it ended."""

    id: int
    athlete_id: int
    verb: str
    form: str
    strength: str | None
    outcome: str
    lower_is_better: bool
    hands: bool
    hidden: bool
    pairs: int
    skip_days: int
    read_days: int
    first_day: date
    last_day: date
    starts: tuple[int, ...]
    seed: int = field(repr=False)
    pair_sd: float
    shows: float | None
    ended_on: date | None = None
    why: str = ""
    verdict: str = ""
    result: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class DayRow:
    """One day as it stands: of several rows the newest word on each."""

    day: date
    taken: bool | None = None
    left: int | None = None
    right: int | None = None


@dataclass(frozen=True)
class PatchRow:
    form: str
    day: date
    reacted: bool


def of_athletes(athlete_ids: Iterable[int]) -> tuple[TrialRow, ...]:
    """Every trial of theirs, newest first: one query."""
    rows = Trial.objects.filter(athlete_id__in=list(athlete_ids)).select_related("end")
    return tuple(_row(row) for row in rows.order_by("-first_day", "-id"))


def _row(row: Any) -> TrialRow:
    end: TrialEnd | None = getattr(row, "end", None)
    return TrialRow(
        row.pk, row.athlete_id, row.verb, row.form, row.strength or None, row.outcome, row.lower_is_better, row.hands,
        row.hidden, row.pairs, row.skip_days, row.read_days, row.first_day, row.last_day, tuple(row.starts), row.seed,
        row.pair_sd, row.shows, end.local_date if end else None, end.why if end else "", end.verdict if end else "",
        end.result if end else {},
    )  # fmt: skip


def days_of(trial_id: int) -> tuple[DayRow, ...]:
    """What was told, by day."""
    found: dict[date, DayRow] = {}
    for row in TrialDay.objects.filter(trial_id=trial_id).order_by("id"):
        old = found.get(row.local_date, DayRow(row.local_date))
        new = {name: getattr(row, name) for name in ("taken", "left", "right")}
        found[row.local_date] = DayRow(
            row.local_date, **{name: getattr(old, name) if value is None else value for name, value in new.items()}
        )
    return tuple(found[day] for day in sorted(found))


def patches_of(athlete_id: int) -> tuple[PatchRow, ...]:
    """Small spots tried, oldest first."""
    rows = TrialPatch.objects.filter(athlete_id=athlete_id).order_by("id")
    return tuple(PatchRow(row.form, row.local_date, row.reacted) for row in rows)


def mornings(athlete_id: int, first: date, last: date) -> dict[date, tuple[int | None, int | None, int | None]]:
    """Reserve, dampness and sting as rated, by day."""
    rows = CheckIn.objects.filter(athlete_id=athlete_id, local_date__range=(first, last))
    return {row[0]: row[1:] for row in rows.values_list("local_date", "reserve", "dampness", "sting")}


SessionDone = tuple[date, bool | None, float | None, float | None]


def sessions_done(athlete_id: int, first: date, last: date) -> list[SessionDone]:
    """Day, whether skin limited it, minutes and effort of each session that was done."""
    rows = Session.objects.filter(athlete_id=athlete_id, planned=False, local_date__range=(first, last))
    return list(rows.order_by("local_date", "id").values_list("local_date", "skin_limited", "minutes", "rpe"))


def others_of(athlete_id: int, form: str, outcome: str) -> list[tuple[float, float]]:
    """Effect and standard error of ended trials of the same question in the athlete's squads; nobody's name."""
    squads = Membership.objects.filter(athlete_id=athlete_id).values("squad_id")
    members = Membership.objects.filter(squad_id__in=squads).exclude(athlete_id=athlete_id).values("athlete_id")
    rows = TrialEnd.objects.filter(athlete_id__in=members, trial__form=form, trial__outcome=outcome)
    told = [(one.get("effect"), one.get("se")) for one in rows.order_by("id").values_list("result", flat=True)]
    return [(float(effect), float(se)) for effect, se in told if effect is not None and se]

"""Trials of the squad for its coaches: who has tried what, with what result, of those who share their check-ins."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from athletes.records import access, queries_trials
from athletes.records.access import AthleteRef
from athletes.records.access_writing import TEAM, athlete_to_write
from athletes.records.errors import NotFound
from athletes.records.queries_trials import TrialRow
from athletes.records.viewer import Viewer
from coaching.rules.trial_standing import OwnWord, own_words, standing
from coaching.usecases import trial_data
from coaching.usecases.trial_board import ended

COACHES = frozenset({"head-coach", "assistant", "medical"})


@dataclass(frozen=True)
class Tried:
    """One athlete's trials, newest first, and what stands of them."""

    athlete: AthleteRef
    rows: tuple[TrialRow, ...]
    stands: dict[tuple[str, str], str]
    words: dict[str, OwnWord]  # by form


@dataclass(frozen=True)
class Bottles:
    """Which bottle of a hidden trial holds the change: for the person who fills them, never for the athlete."""

    athlete: AthleteRef
    row: TrialRow
    holds: tuple[bool, ...]


def squad_trials(viewer: Viewer) -> tuple[Tried, ...]:
    """By name; those who tried nothing are left out. Raises NotFound without such a role."""
    if not viewer.roles() & COACHES:
        raise NotFound
    refs, own = access.refs_visible(viewer, "checkins"), viewer.own_athlete_id
    return tuple(tried_by(ref for ref in refs if ref.id != own).values())


def tried_by(refs: Iterable[AthleteRef]) -> dict[str, Tried]:
    """Trials by the code of their athlete, of those let through the door who share their check-ins and tried something:
    one query, none where nobody shares.
    """
    asked = [ref for ref in refs if "checkins" in ref.shared]
    by_athlete: dict[int, list[TrialRow]] = {}
    for row in queries_trials.of_athletes([ref.id for ref in asked]) if asked else ():
        by_athlete.setdefault(row.athlete_id, []).append(row)
    return {ref.code: _tried(ref, tuple(by_athlete[ref.id])) for ref in asked if ref.id in by_athlete}


def _tried(ref: AthleteRef, rows: tuple[TrialRow, ...]) -> Tried:
    over = ended(rows)
    return Tried(ref, rows, standing(over), own_words(over))


def bottles(viewer: Viewer, trial_id: int, code: str) -> Bottles:
    """Raises NotFound for whoever is not one of the team, for the athlete, and where nothing is hidden."""
    athlete = athlete_to_write(viewer, code, "checkins", TEAM, own=False)
    row = next((one for one in queries_trials.of_athletes([athlete.id]) if one.id == trial_id), None)
    if row is None or not row.hidden or athlete.id == viewer.own_athlete_id:
        raise NotFound
    order = trial_data.order_of(row)
    holds = tuple(bool(order[b // 2]) == (b % 2 == 0) for b in range(len(row.starts)))
    return Bottles(athlete, row, holds)

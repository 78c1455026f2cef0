"""Append and correct. Only use-cases call this, inside their transaction; every value is checked and named if
refused.

Facts are never overwritten without a trace: a second report of the same thing corrects the first, and a
`Correction` keeps both. The same report sent twice changes nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import uuid4

from django.db.models import Model

from athletes.records import choices
from athletes.records.bundle.columns import TABLES
from athletes.records.bundle.problems import bad_input
from athletes.records.errors import NotFound
from athletes.records.inserting import Statement, insert_after, insert_new
from athletes.records.models import Care, CheckIn, Correction, Damage, Look, Place, Session, Sighting
from coaching.rules.medical import UNNAMED_SIGN

LISTED = ("marks", "red_flags")
CHECKIN_COLUMNS = tuple(
    name for name in TABLES["checkins.csv"].names if name not in ("athlete_id", "made_at")
)


def checkin_values(answers: Any) -> dict[str, Any]:
    """The columns of a check-in from an object that carries the answers and their `day`; unchecked."""
    found = {name: getattr(answers, name) for name in CHECKIN_COLUMNS if hasattr(answers, name)}
    return {"local_date": answers.day, **found}


def store_checkin(
    *,
    athlete_id: int,
    answers: Mapping[str, Any],
    made_at: datetime | None,
    by: int | None = None,
    why: str = "",
    first: Statement | None = None,
) -> bool:
    """Store one morning's answers; True where they corrected answers of that day. `first` is done before that.

    In a correction a question that was not asked or not answered (None) keeps its answer. Signs of infection are only
    ever added to: one tap must not undo an alarm, a medical person's look does. Raises BadInput.
    """
    values = admitted("checkins.csv", {**answers, "made_at": made_at})
    day = values.pop("local_date")
    if insert_new(CheckIn(athlete_id=athlete_id, local_date=day, **values), ("athlete_id", "local_date"), first):
        return False
    row = CheckIn.objects.get(athlete_id=athlete_id, local_date=day)
    silent = {name for name in LISTED if answers.get(name) is None}
    said = {name: value for name, value in values.items() if value is not None and name not in silent}
    if values["note"] == "":
        said.pop("note")
    said |= _alarms_kept(row, said)
    if _same(row, {name: value for name, value in said.items() if name not in ("made_at", "seconds")}):
        return False
    _correct(row, said, _Trace(athlete_id, _when(made_at, athlete_id, day), by, why))
    return True


def store_first_checkin(
    *, athlete_id: int, answers: Mapping[str, Any], made_at: datetime, before: Sequence[tuple[str, Statement]]
) -> bool:
    """Store a day's first answers and what goes before them as `insert_after` does. Raises BadInput, and IntegrityError
    where answers of that day stand.
    """
    row = CheckIn(athlete_id=athlete_id, **admitted("checkins.csv", {**answers, "made_at": made_at}))
    return insert_after(row, before)


def _alarms_kept(row: CheckIn, said: Mapping[str, Any]) -> dict[str, Any]:
    """What was said, with every sign of infection that the day's row already holds, named or not."""
    kept: dict[str, Any] = {}
    if "red_flags" in said:
        kept["red_flags"] = sorted({*row.red_flags, *said["red_flags"]})
    if UNNAMED_SIGN in row.note and UNNAMED_SIGN not in said.get("note", UNNAMED_SIGN):
        kept["note"] = f"{said['note']}\n{UNNAMED_SIGN}"
    return kept


def store_session(
    *, athlete_id: int, values: Mapping[str, Any], made_at: datetime, by: int | None = None, why: str = ""
) -> bool:
    """Store a session, planned or done; True where it corrected the one of that day, kind and number.

    `values` are the columns of sessions.csv but for the athlete. Raises BadInput.
    """
    found = admitted("sessions.csv", {"ordinal": 1, **values})
    place = found.pop("place_id", None)
    found["place_id"] = _place(place) if place else None
    key = {name: found.pop(name) for name in ("local_date", "planned", "ordinal")}
    row = Session.objects.filter(athlete_id=athlete_id, **key).first()
    if row is None:
        Session.objects.create(athlete_id=athlete_id, **key, **found)
        return False
    if _same(row, found):
        return False
    _correct(row, found, _Trace(athlete_id, made_at, by, why))
    return True


def cut_planned(
    *, athlete_id: int, local_date: date, share: float, made_at: datetime, by: int | None = None, why: str = ""
) -> int:
    """Leave a share (0-1) of the minutes and hard tries of every session planned that day, with a trace; how many there
    were. What was not planned in numbers stays not known, but that nothing is left is known.
    """
    rows = Session.objects.select_for_update().filter(athlete_id=athlete_id, local_date=local_date, planned=True)
    for row in (found := list(rows.order_by("id"))):
        left: dict[str, Any] = {"minutes": 0.0} if share == 0 else {}
        if row.minutes is not None:
            left["minutes"] = float(round(row.minutes * share))
        if row.hard_tries is not None:
            left["hard_tries"] = round(row.hard_tries * share)
        if left and not _same(row, left):
            _correct(row, left, _Trace(athlete_id, made_at, by, why))
    return len(found)


def store_care(*, athlete_id: int, values: Mapping[str, Any]) -> int:
    """Append a care action and return its key; `values` are the columns of care.csv but for the athlete. Raises
    BadInput.
    """
    found = admitted("care.csv", values)
    if found["form"] not in choices.FORMS[found["verb"]]:
        forms = ", ".join(choices.FORMS[found["verb"]])
        raise bad_input("form", "not-a-form-of-verb", found["form"], forms)
    return int(Care.objects.create(athlete_id=athlete_id, **found).pk)


def store_sighting(*, athlete_id: int, values: Mapping[str, Any]) -> int:
    """Append what somebody else saw and return its key; `values` are the columns of sightings.csv but for the
    athlete. Raises BadInput.
    """
    return int(Sighting.objects.create(athlete_id=athlete_id, **admitted("sightings.csv", values)).pk)


def open_damage(
    *,
    athlete_id: int,
    site: str,
    kind: str,
    noticed_on: date,
    depth: str | None = None,
    made_at: datetime | None = None,
    by: int | None = None,
    **more: Any,
) -> str:
    """Open an episode and return its code; the one already opened that day for the same damage is not opened
    twice, but corrected where more or else is told of it. `more` are length_mm, width_mm, cause, worries.
    """
    told = {"site": site, "kind": kind, "noticed_on": noticed_on, "depth": depth, **more}
    values = admitted("damage.csv", told)
    same = {name: values[name] for name in ("site", "kind", "noticed_on")}
    row = Damage.objects.filter(athlete_id=athlete_id, **same).order_by("id").first()
    if row is None:
        row = Damage.objects.create(athlete_id=athlete_id, code=f"d-{uuid4().hex[:16]}", **values)
    elif said := {name: v for name, v in values.items() if v not in (None, "", []) and getattr(row, name) != v}:
        _correct(row, said, _Trace(athlete_id, _when(made_at, athlete_id, noticed_on), by))
    return row.code


def add_look(
    *,
    athlete_id: int,
    episode_code: str,
    local_date: date,
    stage: str,
    made_at: datetime | None = None,
    by: int | None = None,
    **seen: Any,
) -> bool:
    """Append a look at an episode of the athlete; True where it corrected the look of that day.

    `seen` are pain, opens_on_pull, balm_night, taped, bled; a question left out keeps its answer in a
    correction. A correction without `made_at` is dated as the check-in of that day. Raises BadInput, and
    NotFound for an episode that is not the athlete's.
    """
    values = admitted("damage_looks.csv", {"local_date": local_date, "stage": stage, **seen})
    damage = Damage.objects.filter(athlete_id=athlete_id, code=episode_code).first()
    if damage is None:
        raise NotFound
    if values["local_date"] < damage.noticed_on:
        raise bad_input("local_date", "before-first", local_date, damage.noticed_on.isoformat())
    of_day = Look.objects.select_for_update().filter(damage=damage, local_date=values.pop("local_date"))
    row = of_day.order_by("id").last()
    if row is None:
        Look.objects.create(damage=damage, local_date=local_date, **values)
        return False
    said = {name: value for name, value in values.items() if value is not None}
    if _same(row, said):
        return False
    _correct(row, said, _Trace(athlete_id, _when(made_at, athlete_id, local_date), by))
    return True


def admitted(file: str, values: Mapping[str, Any]) -> dict[str, Any]:
    """Every column of the table that the caller may set, checked, in the form in which a row stores it."""
    table = TABLES[file]
    for name in values:
        table.admit(name, values[name])  # refuses a column that the table lacks
    own = [column for column in table.columns if column.name not in ("athlete_id", "episode_id")]
    return {
        column.name: _stored(column.kind, table.admit(column.name, values.get(column.name))) for column in own
    }


def _stored(kind: str, value: Any) -> Any:
    if isinstance(value, tuple):
        return [list(item) if isinstance(item, tuple) else item for item in value]
    return "" if value is None and kind in ("text", "code") else value


def _place(code: str) -> int:
    found = Place.objects.filter(code=code).values_list("id", flat=True).first()
    if found is None:
        raise bad_input("place_id", "unknown-reference", code, "places.csv")
    return int(found)


def _same(row: Model, values: Mapping[str, Any]) -> bool:
    return all(getattr(row, name) == value for name, value in values.items())


@dataclass(frozen=True)
class _Trace:
    athlete_id: int
    made_at: datetime
    by: int | None = None
    why: str = ""


def _when(made_at: datetime | None, athlete_id: int, day: date) -> datetime:
    """When a correction was made; within a check-in, that of the check-in."""
    if made_at is None:
        stored = CheckIn.objects.filter(athlete_id=athlete_id, local_date=day)
        made_at = stored.values_list("made_at", flat=True).first()
    if made_at is None:
        raise ValueError("a correction needs its time")
    return made_at


def _correct(row: Model, values: Mapping[str, Any], trace: _Trace) -> None:
    before = picture(row)
    for name, value in values.items():
        setattr(row, name, value)
    if hasattr(row, "version"):
        row.version += 1
    row.save()
    Correction.objects.create(
        athlete_id=trace.athlete_id,
        table=row._meta.model_name,
        row_id=row.pk,
        made_at=trace.made_at,
        by_id=trace.by,
        before=before,
        after=picture(row),
        why=trace.why,
    )


def picture(row: Model) -> dict[str, Any]:
    """The row as plain JSON."""
    values = {column.attname: getattr(row, column.attname) for column in row._meta.concrete_fields}
    return {name: value.isoformat() if isinstance(value, date) else value for name, value in values.items()}

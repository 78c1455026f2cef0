"""Entries of phones' queues as they arrived, and what stands of the thing that they tell of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import Max

from athletes.records import care_told
from athletes.records.models import CheckIn, Delivery, Look, Session
from coaching.rules.medical import UNNAMED_SIGN

SCALES = ("rating_step", "reserve", "dampness", "hardness", "sting", "pull_pain", "agent_used")
SEEN = ("stage", "pain", "opens_on_pull", "bled")
DONE = ("minutes", "rpe", "surface", "hard_tries", "skin_limited")
BESIDES = ""
"""The device of what was told by another way."""


@dataclass(frozen=True)
class Entry:
    """One entry in its order: `device` is empty for what was told by another way, which follows what it had seen."""

    seq: int
    device: str
    body: Mapping[str, Any]
    id: int = 0

    @property
    def order(self) -> tuple[int, bool, str, int]:
        return (self.seq, self.device == BESIDES, self.device, self.id)


def of(athlete_id: int, kind: str, about: str) -> list[Entry]:
    """Everything that arrived about one thing, in its order."""
    rows = Delivery.objects.filter(athlete_id=athlete_id, kind=kind, about=about)
    found = [Entry(*row) for row in rows.values_list("seq", "device", "body", "id")]
    return sorted(found, key=lambda one: one.order)


def highest(athlete_id: int) -> int:
    """The highest number of any entry of the athlete's that arrived; 0 where none has."""
    return int(Delivery.objects.filter(athlete_id=athlete_id).aggregate(most=Max("seq"))["most"] or 0)


def sent_as(athlete_id: int, device: str, seq: int) -> tuple[str, str, Any] | None:
    """(kind, about, body) of the entry of that phone and number; None where none has arrived."""
    rows = Delivery.objects.filter(athlete_id=athlete_id, device=device, seq=seq)
    return rows.values_list("kind", "about", "body").first()


def add(athlete_id: int, **told: Any) -> Entry:
    """Keep one entry, in the transaction of the fact that comes of it."""
    row = Delivery.objects.create(athlete_id=athlete_id, **told)
    return Entry(row.seq, row.device, row.body, row.pk)


def checkin_standing(athlete_id: int, about: str) -> dict[str, Any]:
    """A day's check-in and the looks of that day as a body would say them; empty where there is none."""
    day = date.fromisoformat(about)
    row = CheckIn.objects.filter(athlete_id=athlete_id, local_date=day).first()
    found: dict[str, Any] = {}
    if row is not None:
        found = {name: getattr(row, name) for name in SCALES}
        note = row.note.replace(UNNAMED_SIGN, "").strip()
        found |= {"note": note, "red_flags": row.red_flags, "sign_unnamed": UNNAMED_SIGN in row.note or None}
        found["marks"] = [{"site": site, "mark": mark} for site, mark in row.marks]
    looks = Look.objects.filter(damage__athlete_id=athlete_id, local_date=day).select_related("damage").order_by("id")
    told = [{"episode_id": one.damage.code, **{name: getattr(one, name) for name in SEEN}} for one in looks]
    return found | ({"looks": told} if told else {})


def session_standing(athlete_id: int, about: str) -> dict[str, Any]:
    """One session done, by its day and number, as a body would say it."""
    day, _, ordinal = about.partition(" ")
    own = Session.objects.filter(athlete_id=athlete_id, planned=False, local_date=date.fromisoformat(day))
    row = own.filter(ordinal=int(ordinal)).select_related("place").first()
    if row is None:
        return {}
    found: dict[str, Any] = {name: getattr(row, name) for name in DONE}
    started = row.started_at.isoformat() if row.started_at else None
    return {**found, "place_id": row.place.code if row.place else None, "started_at": started}


def step_standing(athlete_id: int, about: str) -> dict[str, Any]:
    """What was told of a step of one day, as a body would say it; `none` where something that had arrived was taken
    back by another way.
    """
    day, _, name = about.partition(" ")
    for one in care_told.told_on(athlete_id, date.fromisoformat(day)):
        if care_told.step_name(one.part, one.form, one.sites) == name:
            return {"verb": one.verb, "form": one.form, "part": one.part, "sites": [*one.sites], "status": one.status}
    arrived = Delivery.objects.filter(athlete_id=athlete_id, kind="step", about=about).exists()
    return {"status": "none"} if arrived else {}


def past(before: datetime) -> Any:
    """Rows that arrived before an instant."""
    return Delivery.objects.filter(arrived_at__lt=before)

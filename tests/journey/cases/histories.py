"""Histories of invented athletes, written row by row and put into one bundle folder."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from typing import Any, Self

ZONE = "Europe/Vienna"
RATINGS = {"reserve": (6, 7, 6, 5, 7, 6, 7), "dampness": (5, 5, 4, 6, 5, 5, 4), "hardness": (4, 4, 5, 4, 3, 4, 4)}
"""A week of ordinary answers of mixed skin, by weekday."""
TRAINS = (1, 3, 5)  # Tuesday, Thursday, Saturday
Row = dict[str, Any]


@dataclass
class Story:
    """One athlete's rows. Every method takes days of the calendar and gives the story back."""

    athlete_id: str
    as_of: date
    profile: Row = field(default_factory=dict)
    tables: dict[str, list[Row]] = field(default_factory=dict)

    def add(self, table: str, **row: Any) -> Self:
        self.tables.setdefault(table, []).append(row)
        return self

    def own(self, table: str, **row: Any) -> Self:
        return self.add(table, athlete_id=self.athlete_id, **row)

    def day(self, offset: int) -> str:
        """The day so many days after the day of the question."""
        return (self.as_of + timedelta(days=offset)).isoformat()

    def answer(self, offset: int = 0, **said: Any) -> Self:
        """A check-in; calm unless something else is said. It replaces an ordinary one of that day."""
        calm = {"reserve": 6, "dampness": 5, "hardness": 4, "sting": 1, "pull_pain": 0}
        kept = self.tables.setdefault("checkins", [])
        kept[:] = [row for row in kept if row["local_date"] != self.day(offset)]
        return self.own("checkins", local_date=self.day(offset), **(calm | said))

    def ordinary(self, days: int = 60, until: int = 0) -> Self:
        """That many days of ordinary answers and training, the last one `until` days from the question."""
        for offset in range(until - days + 1, until + 1):
            weekday = (self.as_of + timedelta(days=offset)).weekday()
            self.answer(offset, **{name: week[weekday] for name, week in RATINGS.items()})
            if weekday in TRAINS:
                self.trained(offset, skin_limited="yes" if offset % 17 == 0 else "no")
        return self

    def in_a_squad(self) -> Self:
        """Alone in a squad of one's own, so that the bar comes from one's own days."""
        return self.add("squads", squad_id=f"s-{self.athlete_id}", name="Own", athlete_id=self.athlete_id)

    def trained(self, offset: int, **said: Any) -> Self:
        usual = {"planned": "no", "minutes": 90, "rpe": 6, "surface": "plastic"}
        return self.own("sessions", local_date=self.day(offset), **(usual | said))

    def plans(self, offsets: Iterable[int], **said: Any) -> Self:
        for offset in offsets:
            self.trained(offset, **({"planned": "yes"} | said))
        return self

    def care(self, offset: int, verb: str, form: str, **said: Any) -> Self:
        """Planned care from the day of the question on, done care before it."""
        status = "planned" if offset >= 0 else "done"
        return self.own("care", local_date=self.day(offset), verb=verb, form=form, **({"status": status} | said))

    def hurt(self, offset: int, site: str, kind: str, look: Row | None = None, **said: Any) -> Self:
        """Damage noticed on a day, with a look today where one is told."""
        episode_id = f"{self.athlete_id}-{len(self.tables.get('damage', ())) + 1}"
        self.own("damage", episode_id=episode_id, site=site, kind=kind, noticed_on=self.day(offset), **said)
        if look is not None:
            self.add("damage_looks", episode_id=episode_id, **({"local_date": self.day(0)} | look))
        return self

    def enters(self, first: int, last: int | None = None, **said: Any) -> Self:
        """An event of one's own, by days from the question; `closes`, `needs_sites` and `status` go with it."""
        event_id = f"{self.athlete_id}-e{len(self.tables.get('events', ())) + 1}"
        entry = {name: said.pop(name) for name in ("needs_sites", "status") if name in said}
        days = {"first_day": self.day(first), "last_day": self.day(first if last is None else last)}
        event = {"event_id": event_id, "name": f"Event {event_id}", "kind": "competition", "timezone": ZONE}
        self.add("events", **(event | days | said))
        return self.own("entries", event_id=event_id, **entry)


def written(folder: Path, stories: Iterable[Story]) -> Path:
    """Write the bundle of all stories."""
    folder.mkdir(parents=True)
    tables: dict[str, list[Row]] = {"athletes": []}
    for story in stories:
        born = {"name": story.athlete_id.title(), "birth_date": "2003-02-02", "timezone": ZONE}
        tables["athletes"].append({"athlete_id": story.athlete_id} | born | story.profile)
        for name, rows in story.tables.items():
            tables.setdefault(name, []).extend(rows)
    for name, rows in tables.items():
        _write(folder / f"{name}.csv", rows)
    manifest = {"format": "tenpads-bundle", "version": 1, "timezone": ZONE, "note": "invented"}
    (folder / "manifest.json").write_text(json.dumps(manifest | {"made_at": "2027-01-01T08:00:00Z"}))
    return folder


def _write(path: Path, rows: list[Row]) -> None:
    columns = list(dict.fromkeys(column for row in rows for column in row))
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, columns, restval="")
        writer.writeheader()
        writer.writerows(rows)

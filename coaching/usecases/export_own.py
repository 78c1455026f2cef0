"""Everything about one athlete in one zip: a history bundle that imports again, every other row as JSON, photos."""

from __future__ import annotations

import io
import json
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from athletes.records import consents, own_rows, reads
from athletes.records.bundle import canonical, writing
from athletes.records.bundle.files import WHOLE
from athletes.records.photos import keeping
from athletes.records.viewer import Viewer
from coaching.usecases import clock

UNITS = "ratings 0-10; minutes; millimetres; instants in UTC; days are the athlete's own; readiness and chances 0-1"
MOST_READS = 1_000_000


@dataclass(frozen=True)
class OwnExport:
    content: bytes
    as_of: date
    digest: str


def export_own(viewer: Viewer, code: str | None) -> OwnExport:
    """The zip, for the athlete or the guardian of a minor. Raises NotFound."""
    athlete, now = consents.subject(viewer, code), clock.now()
    tables = writing.of_athletes([athlete.code])
    told = {"made_at": now.isoformat(timespec="seconds"), "timezone": athlete.timezone, "note": ""}
    contents = writing.files(tables, told)
    contents[WHOLE] = _whole(athlete.id, told)
    contents |= keeping.files_of(athlete.id)
    target = io.BytesIO()
    writing.write_zip(target, contents)
    return OwnExport(target.getvalue(), now.date(), canonical.digest(tables))


def _whole(athlete_id: int, told: dict[str, str]) -> bytes:
    looked: list[dict[str, Any]] = [asdict(read) for read in reads.of_athlete(athlete_id, MOST_READS)]
    found = {**told, "units": UNITS, "tables": own_rows.own_rows(athlete_id), "who_looked": looked}
    return (json.dumps(found, ensure_ascii=False, indent=1, sort_keys=True, default=str) + "\n").encode()

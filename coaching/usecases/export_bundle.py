"""Hand the records out as a history bundle: the whole installation, or what is one athlete's own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from athletes.records import access
from athletes.records.bundle import canonical, writing
from athletes.records.viewer import Viewer


@dataclass(frozen=True)
class ExportReport:
    """The digest of what was written, and the rows of each table (its file's name without the ending)."""

    digest: str
    rows: dict[str, int]


def export_bundle(
    target_path: Path,
    *,
    viewer: Viewer,
    now: datetime,
    athlete_codes: Sequence[str] | None = None,
    as_zip: bool = False,
) -> ExportReport:
    """Write a bundle of everything, or of some athletes, into a new folder or zip.

    Raises NotFound unless the viewer is the operator, or each athlete's own self or guardian, and
    FileExistsError where the target holds something already.
    """
    tables = _tables(viewer, athlete_codes)
    manifest = {"made_at": now.isoformat(timespec="seconds"), "timezone": "UTC", "note": ""}
    write = writing.write_zip if as_zip else writing.write_folder
    write(Path(target_path), writing.files(tables, manifest))
    return ExportReport(
        canonical.digest(tables), {file.removesuffix(".csv"): len(rows) for file, rows in tables.items()}
    )


def _tables(viewer: Viewer, athlete_codes: Sequence[str] | None) -> writing.Tables:
    if athlete_codes is None:
        if not viewer.operator:
            raise access.NotFound
        return writing.everything()
    for code in athlete_codes:
        athlete = access.athlete_by_code(viewer, code)
        if not (viewer.operator or access.may_check_in(viewer, athlete)):
            raise access.NotFound
    return writing.of_athletes(athlete_codes)

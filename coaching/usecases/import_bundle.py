"""Take a history bundle into the records: all of it or nothing."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from django.db import transaction

from athletes.records.bundle.loading import load
from athletes.records.bundle.pictures import read_pictures, store_pictures
from athletes.records.bundle.reading import read_bundle
from athletes.records.bundle.report import ImportReport
from athletes.records.bundle.shifting import shifted
from coaching.ledger import staleness


def import_bundle(path: Path, *, club_name: str, shift_days: int = 0, now: datetime) -> ImportReport:
    """Store what is new of the bundle and mark the athletes concerned, in one transaction.

    `shift_days` moves every date of the tables; the digest is that of the bundle as it stands. Raises
    BadBundle with every bad row, and then nothing is stored.
    """
    bundle = read_bundle(Path(path))
    photos = read_pictures(bundle.beside, {row[0] for row in bundle.rows("damage.csv")}, now, shift_days)
    with transaction.atomic():
        loaded = load(shifted(bundle, shift_days), club_name)
        touched = tuple(sorted(loaded.athlete_ids | store_pictures(photos)))
        staleness.raise_for(touched, now)
    if bundle.beside:
        loaded.stored["photos"], loaded.already["photos"] = len(photos.fresh), photos.already
    return ImportReport(bundle.digest(), loaded.stored, loaded.already, touched)

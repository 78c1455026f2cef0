"""Photos in an athlete's own export, brought in again: held to what an upload is held to, and made anew from their
pixels, because a file from outside may hold more than pixels. So a photo's bytes differ from those that were exported;
its name, day and damage are the same, and the tables' digest does not depend on it. Nothing older than a photo is kept
comes back.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any

from athletes.records.bundle.files import PICTURE, WHOLE
from athletes.records.bundle.report import BadBundle, BadRow, bad_row
from athletes.records.models import Damage, Photo
from athletes.records.photos.cleaning import Clean, cleaned
from athletes.records.photos.shape import Refused
from athletes.records.retention import PHOTO_DAYS

NAME = re.compile(r"[0-9a-f]{32}", re.ASCII)
SHORT = 8


@dataclass(frozen=True)
class Picture:
    """One photo to bring in: its random name, the code of its damage, and its pixels."""

    name: str
    episode_id: str
    local_date: date
    made_at: datetime
    clean: Clean


@dataclass(frozen=True)
class Pictures:
    """Photos to store; those that were here already, and those whose time is over."""

    fresh: tuple[Picture, ...] = ()
    already: int = 0
    over: int = 0


def read_pictures(files: dict[str, bytes], episodes: set[str], now: datetime, shift_days: int = 0) -> Pictures:
    """Photos of the bundle at damage that the bundle tells of. Raises BadBundle with every file that is not taken. It
    takes half a second a photo, so it is done before any transaction.
    """
    names = sorted(name for name in files if PICTURE.fullmatch(name))
    told = {one["name"][:SHORT]: one for one in _told(files)} if names else {}
    fresh: list[Picture] = []
    bad: list[BadRow] = []
    already = over = 0
    for file in names:
        one = told.get(file.removesuffix(".webp").rpartition("-")[2])
        if one is None or one["episode_id"] not in episodes:
            bad.append(bad_row(file, None, None, "photo-untold"))
        elif one["made_at"] < now - timedelta(days=PHOTO_DAYS):
            over += 1
        elif Photo.objects.filter(name=one["name"]).exists():
            already += 1
        else:
            try:
                day = one["local_date"] + timedelta(days=shift_days)
                at = {"local_date": day, "made_at": min(one["made_at"], now)}
                fresh.append(Picture(**{**one, **at}, clean=cleaned(files[file])))
            except Refused as refused:
                bad.append(bad_row(file, None, None, "photo-refused", hint=refused.code))
    if bad:
        raise BadBundle(bad)
    return Pictures(tuple(fresh), already, over)


def _told(files: dict[str, bytes]) -> Iterator[dict[str, Any]]:
    """What the export says of each photo; what it does not say rightly is as if it said nothing."""
    try:
        tables = json.loads(files[WHOLE])["tables"]
        codes = {row["id"]: row["code"] for row in tables.get("records_damage", [])}
        rows = list(tables.get("records_photo", []))
    except (KeyError, TypeError, ValueError, AttributeError):
        return
    for row in rows:
        try:
            made_at = datetime.fromisoformat(row["made_at"])
            day, code = date.fromisoformat(row["local_date"]), codes[row["damage_id"]]
        except (KeyError, TypeError, ValueError):
            continue
        if isinstance(row.get("name"), str) and NAME.fullmatch(row["name"]):
            at = made_at if made_at.tzinfo else made_at.replace(tzinfo=UTC)
            yield {"name": row["name"], "episode_id": code, "local_date": day, "made_at": at}


def store_pictures(pictures: Pictures) -> set[int]:
    """Store what is new, inside the bundle's transaction; returns the keys of the athletes concerned."""
    codes = {one.episode_id for one in pictures.fresh}
    damage = {row.code: row for row in Damage.objects.filter(code__in=codes)}
    made = [
        Photo(
            athlete_id=damage[one.episode_id].athlete_id, damage=damage[one.episode_id], name=one.name,
            local_date=one.local_date, made_at=one.made_at, width_px=one.clean.width_px,
            height_px=one.clean.height_px, content=one.clean.content,
        )
        for one in pictures.fresh
    ]  # fmt: skip
    Photo.objects.bulk_create(made)
    return {row.athlete_id for row in made}

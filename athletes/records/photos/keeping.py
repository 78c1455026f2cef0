"""Pictures as rows: stored, listed without their bytes, read one at a time, taken away."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from datetime import date, datetime

from athletes.records import row_scope
from athletes.records.access import AthleteRef, athlete_by_code
from athletes.records.errors import NotFound
from athletes.records.models import Damage, Photo
from athletes.records.photos.cleaning import Clean
from athletes.records.viewer import Viewer

MOST_A_DAY = 12
"""Of one athlete. More would be a store of pictures, which this is not."""


class TooMany(ValueError):
    """That day's pictures are as many as are kept."""


@dataclass(frozen=True)
class PhotoOnFile:
    """A picture without its bytes; sides in px."""

    name: str
    episode_id: str
    site: str
    local_date: date
    made_at: datetime
    width_px: int
    height_px: int


def store(athlete_id: int, episode_id: str, day: date, clean: Clean, made_at: datetime) -> str:
    """Keep it under a random name, which is returned; the very same picture of the same damage is kept once, because a
    phone whose answer was lost sends it again. Raises NotFound for an episode of somebody else, and TooMany.
    """
    damage = Damage.objects.filter(athlete_id=athlete_id, code=episode_id).first()
    if damage is None:
        raise NotFound
    same = {"width_px": clean.width_px, "height_px": clean.height_px, "content": clean.content}
    before = Photo.objects.filter(damage=damage, local_date=day, **same).values_list("name", flat=True).first()
    if before is not None:
        return str(before)
    if Photo.objects.filter(athlete_id=athlete_id, local_date=day).count() >= MOST_A_DAY:
        raise TooMany
    row = Photo.objects.create(
        athlete_id=athlete_id, damage=damage, name=secrets.token_hex(16), local_date=day, made_at=made_at, **same
    )  # fmt: skip
    return row.name


def of_athlete(athlete: AthleteRef, episode_id: str | None = None) -> tuple[PhotoOnFile, ...] | None:
    """Pictures by site, oldest first, of one episode where it is named; None where photos are not shared. One query."""
    if "photos" not in athlete.shared:
        return None
    rows = Photo.objects.filter(athlete_id=athlete.id).order_by("damage__site", "local_date", "id")
    if episode_id is not None:
        rows = rows.filter(damage__code=episode_id)
    told = rows.values_list("name", "damage__code", "damage__site", "local_date", "made_at", "width_px", "height_px")
    return tuple(PhotoOnFile(*one) for one in told)


def content(viewer: Viewer, name: str) -> bytes:
    """The picture, where photos of that athlete are open to the viewer. Raises NotFound alike where it is not and where
    there is none.
    """
    with row_scope.everybody():  # whose it is, before the door is asked; nothing of it is told
        row = Photo.objects.filter(name=name).select_related("athlete").defer("content").first()
    if row is None:
        raise NotFound
    athlete_by_code(viewer, row.athlete.code, "photos")
    return bytes(Photo.objects.values_list("content", flat=True).get(pk=row.pk))


def drop(athlete_id: int, name: str) -> None:
    """Take it away for good. Raises NotFound for one that is not the athlete's."""
    gone, _ = Photo.objects.filter(athlete_id=athlete_id, name=name).delete()
    if not gone:
        raise NotFound


def files_of(athlete_id: int) -> dict[str, bytes]:
    """Every picture of the athlete by the name of a file, for their own export."""
    rows = Photo.objects.filter(athlete_id=athlete_id).order_by("id")
    told = rows.values_list("local_date", "damage__site", "name", "content")
    return {f"photo-{day}-{site}-{name[:8]}.webp": bytes(found) for day, site, name, found in told}

"""The tally of tries: a set of taps, each counted once, whatever the order in which they arrive."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from athletes.records import choices
from athletes.records.bundle.problems import bad_input
from athletes.records.models import Tap

MOST_A_DAY = 600
"""Judgement: nobody makes so many hard tries; what comes after is a stuck key or a machine."""


@dataclass(frozen=True)
class TapTold:
    """One tap as it was made; `key` names it for good. `surface` of a try, `site` of an end where it is known."""

    key: str
    local_date: date
    ordinal: int
    what: str  # try, end, skin
    made_at: datetime
    surface: str = ""
    site: str = ""


def store(athlete_id: int, tap: TapTold) -> bool:
    """Keep the tap; False where it was there already. One that was taken back before it arrived stays taken back.
    Raises BadInput.
    """
    _check(tap)
    told = {
        "local_date": tap.local_date, "ordinal": tap.ordinal, "what": tap.what, "surface": tap.surface,
        "site": tap.site, "made_at": tap.made_at,
    }  # fmt: skip
    if Tap.objects.filter(athlete_id=athlete_id, local_date=tap.local_date).count() >= MOST_A_DAY:
        raise bad_input("key", "out-of-range", tap.key, f"1-{MOST_A_DAY}")
    row, new = Tap.objects.get_or_create(athlete_id=athlete_id, key=tap.key, defaults=told)
    if new:
        return True
    if row.what == "end" and row.taken_back and not row.surface and tap.what == "try":
        Tap.objects.filter(pk=row.pk).update(**told)
    return False


def take_back(athlete_id: int, tap: TapTold) -> None:
    """Count it no more. Where it has not arrived yet, that is kept for when it does."""
    _check(tap)
    not_yet = {
        "local_date": tap.local_date, "ordinal": tap.ordinal, "what": "end", "made_at": tap.made_at, "taken_back": True,
    }  # fmt: skip
    Tap.objects.update_or_create(
        athlete_id=athlete_id, key=tap.key, defaults={"taken_back": True}, create_defaults=not_yet
    )


def say_where(athlete_id: int, key: str, site: str) -> bool:
    """Where skin was about to open when the session ended; False where no such end stands."""
    if site not in choices.SITES:
        raise bad_input("site", "unknown-site", site, "L-index-tip")
    return bool(Tap.objects.filter(athlete_id=athlete_id, key=key, what="skin").update(site=site))


def of_day(athlete_id: int, day: date) -> tuple[TapTold, ...]:
    """What counts of that day, in the order it was made. One query."""
    rows = Tap.objects.filter(athlete_id=athlete_id, local_date=day, taken_back=False).order_by("made_at", "id")
    told = ("key", "local_date", "ordinal", "what", "made_at", "surface", "site")
    return tuple(TapTold(*row) for row in rows.values_list(*told))


def counts(taps: Iterable[TapTold]) -> dict[str, int]:
    """Tries by surface, the most first; of equal ones the rougher."""
    found = [tap.surface for tap in taps if tap.what == "try"]
    order = sorted(set(found), key=lambda s: (-found.count(s), -choices.SURFACES.index(s)))
    return {surface: found.count(surface) for surface in order}


def standing(athlete_id: int, key: str) -> TapTold | None:
    """The tap of that key where it counts."""
    rows = Tap.objects.filter(athlete_id=athlete_id, key=key, taken_back=False)
    told = rows.values_list("key", "local_date", "ordinal", "what", "made_at", "surface", "site").first()
    return TapTold(*told) if told else None


def _check(tap: TapTold) -> None:
    if not (0 < len(tap.key) <= 64 and tap.key.isascii() and tap.key.isprintable()):
        raise bad_input("key", "unknown-code", tap.key[:64], "1-64")
    if tap.what not in choices.TAPS:
        raise bad_input("what", "unknown-code", tap.what, ", ".join(choices.TAPS))
    if tap.what == "try" and tap.surface not in choices.SURFACES:
        raise bad_input("surface", "unknown-code", tap.surface, ", ".join(choices.SURFACES))
    if not 1 <= tap.ordinal <= 9:
        raise bad_input("ordinal", "out-of-range", tap.ordinal, "1-9")

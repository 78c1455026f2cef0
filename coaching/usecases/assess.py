"""What the service concludes from a bundle alone, on the evening of one day: for support, batch use and tests.

It runs as the operator of the machine, without consent, on a database of its own that is gone afterwards.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

from athletes.records import access
from coaching.ledger.codec import plain
from coaching.rules import rulebook
from coaching.rules.conclusions import AthleteConclusion, EntryConclusion
from coaching.science import versions
from coaching.usecases import clock, conclude
from coaching.usecases.import_bundle import import_bundle
from coaching.usecases.throwaway import throwaway_database

CLUB = "assessed bundle"
DIGITS = 4


def assess(path: Path, as_of: date, athlete_codes: Sequence[str] = ()) -> dict[str, Any]:
    """The assessment document. Raises `BadBundle` with its report, and `NotFound` for a code that the bundle lacks."""
    with throwaway_database():
        import_bundle(path, club_name=CLUB, now=clock.now())
        known = {ref.code: ref.id for ref in access.refs_visible(access.OPERATOR(as_of))}
        if unknown := sorted(set(athlete_codes) - set(known)):
            raise access.NotFound(", ".join(unknown))
        wanted = sorted(athlete_codes or known)
        found = conclude.concluded(sorted(known.values()), as_of)
        return document([found[known[code]].conclusion for code in wanted], as_of)


def document(conclusions: Sequence[AthleteConclusion], as_of: date) -> dict[str, Any]:
    """Conclusions in the form of the interchange format: keys of the glossary, unknown as null, numbers rounded."""
    return {
        "as_of": as_of.isoformat(),
        "model": versions.CURRENT,
        "rulebook": rulebook.current().version,
        "entries": [_entry(c, e) for c in conclusions for e in sorted(c.entries, key=lambda e: e.event_id)],
        "athletes": [_athlete(c) for c in conclusions],
    }


def _entry(c: AthleteConclusion, entry: EntryConclusion) -> dict[str, Any]:
    found: dict[str, Any] = {
        "athlete_id": c.athlete_id,
        "event_id": entry.event_id,
        "level": entry.level,
        "readiness": _rounded({"p": entry.p, "low": entry.low, "high": entry.high}),
    }
    if entry.good_days:
        found["good_days"] = _rounded(dict(zip(("of", "p50", "low", "high"), entry.good_days, strict=True)))
    found["reasons"] = [_present(r, ("code", "site", "date", "numbers")) for r in entry.reasons]
    keys = ("kind", "earliest", "form", "site", "latest", "median", "at", "slack_days", "state", "rule", "if_")
    found["deadlines"] = [_present(d, keys, keep=1) for d in entry.deadlines]
    found["fallbacks"] = [_present(f, ("code", "cost")) for f in entry.fallbacks]
    return found


def _athlete(c: AthleteConclusion) -> dict[str, Any]:
    steps = ("date", "part", "verb", "form", "sites", "rule", "caution", "source", "if_")
    refusals = ("date", "verb", "form", "rule", "hard", "class_", "instead")
    return {
        "athlete_id": c.athlete_id,
        "medical": c.medical,
        "known_until": plain(c.known_until),
        "today": _rounded(plain(c.today)),
        "limits": [_present(x, ("date", "surface", "minutes", "hard_tries", "if_"), keep=3) for x in c.limits],
        "steps": [_present(x, steps) for x in c.steps],
        "refused": [_present(x, refusals) for x in c.refused],
    }


def _present(value: object, keys: Sequence[str], keep: int = 0) -> dict[str, Any]:
    """The named parts that are known, and the first `keep + 1` in any case; `if_` and `class_` lose their dash."""
    found = _rounded(plain(value))
    return {key.rstrip("_"): found[key] for n, key in enumerate(keys) if found[key] is not None or 0 < keep >= n}


def _rounded(value: Any) -> Any:
    if isinstance(value, float):
        return round(value, DIGITS)
    if isinstance(value, dict):
        return {key: _rounded(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_rounded(item) for item in value]
    return value

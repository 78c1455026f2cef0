"""The skin as it was seen: pink and other marks in force, the athlete's kind of skin, how long nobody has
answered.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from coaching.rules.facts import AthleteFacts, CheckInFact
from coaching.rules.numbers import AthleteNumbers

SILENCE_DAYS = 3
WORN_RESERVE_PT, WORN_STING_PT, WORN_PULL_PT = 1, 7, 7
"""Judgement: the ends of the athlete's own scales. Skin that is gone, or burns at every touch, is not climbed on."""
PINK_OFF_DAYS = 2
PINK_GONE_DAYS = 5
CALM_STING_PT = 2
MARK_HOLDS_DAYS = 3
DRY_BELOW_PT = 3.0
DAMP_ABOVE_PT = 6.5
GLASSY_PT = 7.8
KNOWN_SD_PT = 1.5
RATINGS_FOR_KIND = 7


@dataclass(frozen=True)
class Pink:
    """Tips seen pink and not seen well again. Pink skin rests a day or two and is as before after 2-5 days.

    Source of the days: common practice, no source.
    """

    sites: tuple[str, ...]
    seen_on: date

    @property
    def off_until(self) -> date:
        return self.seen_on + timedelta(days=PINK_OFF_DAYS)

    @property
    def look_on(self) -> date:
        return self.off_until + timedelta(days=1)

    @property
    def gone_on(self) -> date:
        return self.seen_on + timedelta(days=PINK_GONE_DAYS)

    @property
    def test_on(self) -> date:
        return self.look_on + timedelta(days=1)

    def as_before_frac(self, event: date) -> float:
        """Chance that the tips are as before on that day if their rest is lost and they are pink at the look.

        Judgement: evenly from the second day after it to the fifth.
        """
        left_days = (event - self.look_on).days
        return min(1.0, max(0.0, (left_days - PINK_OFF_DAYS) / (PINK_GONE_DAYS - PINK_OFF_DAYS)))


def is_worn(checkin: CheckInFact) -> bool:
    """An answer at the worst end of a scale: no reserve, or sting or pain on a pull as bad as can be."""
    reserve, sting, pull = checkin.reserve, checkin.sting, checkin.pull_pain
    gone = reserve is not None and reserve <= WORN_RESERVE_PT
    burns = sting is not None and sting >= WORN_STING_PT
    return gone or burns or (pull is not None and pull >= WORN_PULL_PT)


def known_until(facts: AthleteFacts, as_of: date) -> date | None:
    """Last day with an answer or a look, None where there never was one.

    Damage that was noticed and marks that others saw are looks too: somebody's own eyes on a site that day.
    """
    days = [one.noticed_on for one in facts.episodes] + [one.day for one in facts.sightings]
    days += [facts.known_until] if facts.known_until else []
    return max((day for day in days if day <= as_of), default=None)


def silent_days(facts: AthleteFacts, as_of: date) -> int | None:
    """Days since the last answer or look; None: there never was one."""
    known = known_until(facts, as_of)
    return (as_of - known).days if known else None


def is_silent(facts: AthleteFacts, as_of: date) -> bool:
    """Silence over three days: the fourth day without an answer is not known."""
    days = silent_days(facts, as_of)
    return days is None or days > SILENCE_DAYS


def pink(facts: AthleteFacts, as_of: date, lately: bool = False) -> Pink | None:
    """Pink sites in force, with the last day one of them was seen; None where there are none.

    `lately`: those seen well again count too.
    """
    seen = {
        site: day
        for site, day in _last_seen(facts, "pink", as_of).items()
        if (as_of - day).days <= PINK_GONE_DAYS and (lately or not _cleared(facts, site, day, as_of))
    }
    return Pink(tuple(sorted(seen)), max(seen.values())) if seen else None


def marked(facts: AthleteFacts, mark: str, as_of: date) -> tuple[tuple[str, date], ...]:
    """Sites with that mark over the last three days, with the day it was last seen."""
    seen = _last_seen(facts, mark, as_of)
    return tuple((site, day) for site, day in sorted(seen.items()) if (as_of - day).days <= MARK_HOLDS_DAYS)


def kind(facts: AthleteFacts, numbers: AthleteNumbers) -> str | None:
    """Damp, mixed or dry. The label holds until a week of ratings says the opposite, then nobody should trust
    it: mixed.
    """
    rated = sum(1 for one in facts.checkins if one.dampness is not None)
    known = rated >= RATINGS_FOR_KIND and numbers.dampness_sd_pt <= KNOWN_SD_PT
    felt = _felt_kind(numbers.dampness_mean_pt) if known else None
    if facts.skin_kind is None or felt is None:
        return facts.skin_kind or felt
    return "mixed" if {facts.skin_kind, felt} == {"dry", "damp"} else facts.skin_kind


def _felt_kind(dampness_pt: float) -> str:
    if dampness_pt <= DRY_BELOW_PT:
        return "dry"
    return "damp" if dampness_pt >= DAMP_ABOVE_PT else "mixed"


def _last_seen(facts: AthleteFacts, mark: str, as_of: date) -> dict[str, date]:
    rows = [(one.day, one.marks) for one in facts.checkins if one.marks]
    rows += [(one.day, one.marks) for one in facts.sightings if one.marks]
    seen: dict[str, date] = {}
    for day, marks in rows:
        for site, name in marks:
            if name == mark and day <= as_of:
                seen[site] = max(day, seen.get(site, day))
    return seen


def _cleared(facts: AthleteFacts, site: str, day: date, as_of: date) -> bool:
    """Seen well on a later day: by other eyes, or by the athlete's own calm answer where no other eyes saw it
    pink; that counts from the second day on: the sting goes before the skin is back.
    """
    if any(day < one.day <= as_of for one in facts.sightings):
        return True
    if any(one.day == day and (site, "pink") in one.marks for one in facts.sightings):
        return False
    return any(
        day + timedelta(days=PINK_OFF_DAYS) <= one.day <= as_of and one.sting is not None and one.sting <= CALM_STING_PT
        for one in facts.checkins
    )

"""One damage episode as it stands on a day: its stage, how it hurts, whether it may be climbed on."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta

from coaching.rules import holds
from coaching.rules.facts import AthleteFacts, CheckInFact, EpisodeFact, LookFact
from coaching.rules.numbers import AthleteNumbers, EpisodeNumbers, Quartet

OPEN_STAGES = frozenset({"open", "closing"})
CLOSED_STAGES = frozenset({"rimmed", "thinned", "sound"})
PAIN_LIMIT_PT = 2
PAIN_LIMIT_LIFTED_PT = 3
OFF_PAIN_PT = 7
HOLED_OFF_DAYS = 3
SURE_SOUND = 0.95
TRY_WORTH_FRAC = 0.1
"""Judgement: below one in ten that damage is usable taped on the event's first day, no try answers anything.
"""

USABLE_FROM_DAYS = {
    "split": (2, 4), "flapper": (1, 1), "tear": (2, 2), "blister": (2, 2), "cut": (2, 5), "graze": (3, 3),
    "holed": (HOLED_OFF_DAYS, HOLED_OFF_DAYS),
}  # fmt: skip
"""Shallow, deep: the early end of the trade's range until usable taped.

Common practice, no source; the deep pad split and the deep cut are judgement.
"""
CLOSED_BY_DAYS = {
    "split": (1, 7), "flapper": (2, 2), "tear": (3, 3), "blister": (3, 3), "cut": (1, 8), "graze": (5, 5),
    "holed": (4, 4),
}  # fmt: skip
CREASE_CLOSED_BY_DAYS = 8
DEPTH_NOT_SAID_DAYS = {("split", False): 4, ("split", True): 7, ("cut", False): 6, ("cut", True): 7}
"""Shallow, deep: the late end (four in five) until damage of that kind has closed, of nobody in particular: the day of
the first look must not wait for what the model makes of a day on which nobody looked. Judgement, from the ranges of
healing that the model starts from; in a crease a deep split takes a day longer.
"""
TEAR_KINDS = frozenset({"flapper", "tear", "blister", "cut", "graze", "holed"})


@dataclass(frozen=True)
class Damage:
    """An episode that is not sound. `stage` is that of the last look; nobody looked: open."""

    fact: EpisodeFact
    stage: str
    pain_pt: int | None  # on a firm pull, at the last look that asked
    opens: bool | None
    last_look: date | None
    numbers: EpisodeNumbers | None
    as_of: date

    @property
    def site(self) -> str:
        return self.fact.site or holds.SITE_NOT_KNOWN

    @property
    def is_open(self) -> bool:
        return self.stage in OPEN_STAGES or self.opens is True

    @property
    def pain_limit_pt(self) -> int:
        return pain_limit_pt(self.site, self.fact.kind)

    @property
    def gated(self) -> bool:
        """The pain gate: too much pain on a firm pull, or opening on a pull."""
        return self.opens is True or (self.pain_pt is not None and self.pain_pt > self.pain_limit_pt)

    @property
    def began_on(self) -> date:
        """Day it was noticed, or was seen open again after a look had found it closed: from there it closes anew."""
        began, shut = self.fact.noticed_on, False
        for look in sorted((one for one in self.fact.looks if one.day <= self.as_of), key=lambda one: one.day):
            was_shut, shut = shut, look.stage in CLOSED_STAGES and look.opens_on_pull is not True
            began = look.day if was_shut and not shut else began
        return began

    @property
    def off_until(self) -> date:
        """First day on which damage that was worn through to blood or fluid may be tried taped."""
        return self.began_on + timedelta(days=HOLED_OFF_DAYS)

    @property
    def too_fresh(self) -> bool:
        """Worn through to blood or fluid: a few days without load come before any taped climbing."""
        return self.fact.kind == "holed" and self.stage == "open" and self.as_of < self.off_until

    @property
    def reason_code(self) -> str:
        return "split" if self.fact.kind == "split" else "tear"

    @property
    def hurts(self) -> tuple[str, ...]:
        return holds.hurt_by(self.site, self.fact.kind)

    def day_of(self, what: str, point: str) -> date | None:
        """Day on which closed, usable or sound is reached, at a point (`q50_d`, `q80_d`); else None."""
        quartet: Quartet | None = getattr(self.numbers, what) if self.numbers else None
        days: float | None = getattr(quartet, point) if quartet else None
        if days is None or not math.isfinite(days):
            return None
        return self.as_of + timedelta(days=max(0, math.ceil(days)))

    def p_sound(self, day: date) -> float:
        """Chance that it is sound on a day; a day without a number counts as not sound."""
        return self.numbers.p_sound_by_day.get(day, 0.0) if self.numbers else 0.0

    def p_usable(self, day: date) -> float:
        return self.numbers.p_usable_by_day.get(day, 0.0) if self.numbers else 0.0

    def worth_a_try(self, day: date) -> bool:
        """Whether a taped try on that day can answer anything: damage too fresh for it only tears again.

        Seen closed: at any time. It hangs on the age alone, so that one look does not move the day.
        """
        return not self.is_open or (day - self.began_on).days >= self._usable_from_days

    @property
    def closes_by(self) -> date:
        """Day on which four in five of its kind have closed, from the day it began."""
        crease = holds.zone_of(self.site) in holds.CREASES
        kind, depth = self.fact.kind, self.fact.depth
        shallow, deep = CLOSED_BY_DAYS[kind]
        days = deep if depth == "deep" else shallow
        if depth is None:
            days = DEPTH_NOT_SAID_DAYS.get((kind, crease), days)
        elif kind == "split" and depth == "deep" and crease:
            days = CREASE_CLOSED_BY_DAYS
        return self.began_on + timedelta(days=days)

    @property
    def _usable_from_days(self) -> int:
        """Depth not said: a split in a crease counts as deep, all else as shallow."""
        crease = self.fact.kind == "split" and holds.zone_of(self.site) in holds.CREASES
        shallow, deep = USABLE_FROM_DAYS[self.fact.kind]
        return deep if self.fact.depth == "deep" or (self.fact.depth is None and crease) else shallow


def pain_limit_pt(site: str, kind: str) -> int:
    """Judgement: over 2 at a crease or tip, over 3 at a flapper or any other place, is too much."""
    tender = holds.zone_of(site) in holds.CREASES | {"tip"}
    return PAIN_LIMIT_PT if tender and kind != "flapper" else PAIN_LIMIT_LIFTED_PT


def unsound(facts: AthleteFacts, numbers: AthleteNumbers, as_of: date) -> tuple[Damage, ...]:
    """Every episode noticed by `as_of` that no look has found sound, oldest first."""
    episodes = [one for one in facts.episodes if one.noticed_on <= as_of]
    found = [_damage(one, facts, numbers, as_of) for one in sorted(episodes, key=_age_key)]
    return tuple(one for one in found if one.stage != "sound")


def _age_key(episode: EpisodeFact) -> tuple[date, str]:
    return episode.noticed_on, episode.episode_id


def _damage(episode: EpisodeFact, facts: AthleteFacts, numbers: AthleteNumbers, as_of: date) -> Damage:
    looks = sorted((look for look in episode.looks if look.day <= as_of), key=lambda look: look.day)
    pain = next((look.pain for look in reversed(looks) if look.pain is not None), None)
    opens = next((look.opens_on_pull for look in reversed(looks) if look.opens_on_pull is not None), None)
    return Damage(
        fact=episode,
        stage=looks[-1].stage if looks else "open",
        pain_pt=_worst(pain, _pull_pain(facts, episode, looks, as_of)),
        opens=opens,
        last_look=looks[-1].day if looks else None,
        numbers=numbers.episodes.get(episode.episode_id),
        as_of=as_of,
    )


def _pull_pain(facts: AthleteFacts, episode: EpisodeFact, looks: list[LookFact], as_of: date) -> int | None:
    """Pain of the last check-in that asked, if newer than any look that asked; the site is then a guess."""
    asked = [look.day for look in looks if look.pain is not None]
    since = max([episode.noticed_on, *asked])
    newer = [one for one in facts.checkins if since <= one.day <= as_of and _counts(one, since, asked)]
    return next((one.pull_pain for one in reversed(newer) if one.pull_pain is not None), None)


def _counts(checkin: CheckInFact, since: date, asked: list[date]) -> bool:
    """A morning without pain on the day of the damage is older than the damage; pain that morning is not."""
    return checkin.day > since or (not asked and bool(checkin.pull_pain))


def _worst(one: int | None, other: int | None) -> int | None:
    known = [pain for pain in (one, other) if pain is not None]
    return max(known) if known else None

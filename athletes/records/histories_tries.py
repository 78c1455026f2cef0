"""Looks that found damage closed, and taped tries that went well."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from coaching.rules.damage import OPEN_STAGES, pain_limit_pt
from coaching.rules.facts import AthleteFacts, CareFact, EpisodeFact, LookFact
from coaching.rules.holds import near

Looks = Sequence[LookFact]


def is_closed(look: LookFact) -> bool:
    """Closed by this look: a pull outranks the eye, and what is knitting and does not open is closed."""
    if look.opens_on_pull is not None and look.stage in ("closing", "rimmed", "thinned"):
        return not look.opens_on_pull
    return look.opens_on_pull is not True and look.stage not in OPEN_STAGES


def closed_looks(looks: Looks) -> tuple[Looks, Looks]:
    """Looks, oldest first, parted before the present run of those that found it closed."""
    start = len(looks)
    while start and is_closed(looks[start - 1]):
        start -= 1
    return looks[:start], looks[start:]


def try_passed(one: AthleteFacts, episode: EpisodeFact, looks: Looks, today: date) -> bool:
    """Whether the last taped try of this damage went well.

    It was done without a reaction, skin did not limit a session of that day, and a look on that day or later found
    it closed and none since found it open or hurting too much. No answer of the session counts neither way.
    """
    tries = [care for care in one.care if _tries(care, episode) and care.day <= today]
    if not tries:
        return False
    last = max(care.day for care in tries)
    reacted = any(care.reaction not in (None, "", "none") for care in tries if care.day == last)
    limited = any(one.skin_limited for one in one.sessions if one.day == last and not one.planned)
    since = [look for look in looks if look.day >= last]
    return bool(since) and not reacted and not limited and all(_went_well(look, episode) for look in since)


def _tries(care: CareFact, episode: EpisodeFact) -> bool:
    if care.status != "done" or care.form != "taped try" or care.day < episode.noticed_on:
        return False
    return not care.sites or any(near(site, episode.site) for site in care.sites)


def _went_well(look: LookFact, episode: EpisodeFact) -> bool:
    hurts = look.pain is not None and look.pain > pain_limit_pt(episode.site, episode.kind)
    return is_closed(look) and not hurts and look.bled is not True

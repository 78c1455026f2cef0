"""An athlete's own hands in words: how long damage took, and what is believed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from django.utils.formats import number_format
from django.utils.translation import gettext, ngettext, pgettext

from coaching.usecases.my_hands import Believed, PastEpisode, in_crease
from coaching.wording.care import KINDS, stage
from coaching.wording.dates import weekday
from coaching.wording.numbers import in_100, rating
from coaching.wording.sentences import capital
from coaching.wording.sites import DIGITS, site

LAST = 3
ODDS_STEP = 5


def one(found: PastEpisode, as_of: date) -> str:
    """ "right middle, tip crease: noticed on 3 March, sound when looked at on 12 March: 9 days, on day 7 not yet"."""
    values = {
        "what": KINDS.get(found.kind, found.kind), "site": site(found.site),
        "noticed": weekday(found.noticed_on, as_of),
        "state": stage(found.stage),
    }  # fmt: skip
    if found.sound_on is None:
        said = gettext("%(site)s, %(what)s: noticed %(noticed)s, %(state)s at the last look.")
        return capital(said % values) if found.looked_on else capital(
            gettext("%(site)s, %(what)s: noticed %(noticed)s, nobody has looked since.") % values
        )
    took = ngettext("%(n)d day", "%(n)d days", found.days or 0) % {"n": found.days or 0}
    said = gettext("%(site)s, %(what)s: noticed %(noticed)s; %(took)s to the look that found it sound")
    ended = capital(said % {**values, "took": took})
    if not found.at_least_days:
        return f"{ended}."
    return gettext("%(said)s, on day %(n)d not yet.") % {"said": ended, "n": found.at_least_days}


def by_digit(past: Iterable[PastEpisode]) -> dict[str, list[PastEpisode]]:
    """Damage by the digit it was on, or the palm, in the order of a hand, newest first."""
    held: dict[str, list[PastEpisode]] = {}
    for found in past:
        held.setdefault(digit_of(found.site), []).append(found)
    return held


def digit_of(code: str) -> str:
    """What one tap on the hands opens: `R-middle` for any site of that finger, `L-web` for the palm's own."""
    parts = code.split("-")
    return "-".join(parts[:2]) if len(parts) > 1 and parts[1] in DIGITS else code


def groups(past: Iterable[PastEpisode]) -> list[tuple[str, list[PastEpisode]]]:
    """Damage of one kind and place together, "Crease splits: the last 3 took 9, 12 and 16 days", newest first."""
    held: dict[tuple[str, bool], list[PastEpisode]] = {}
    for found in past:
        held.setdefault((found.kind, in_crease(found.site)), []).append(found)
    return [(_heading(kind, crease, found), found) for (kind, crease), found in held.items()]


def _heading(kind: str, crease: bool, found: list[PastEpisode]) -> str:
    name = capital(str(KINDS.get(kind, kind)))
    where = gettext("%(kind)s in a crease") if crease else gettext("%(kind)s elsewhere")
    took = [one.days for one in found if one.days is not None][:LAST]
    values = {"what": where % {"kind": name}, "n": len(took)}
    if not took:
        return gettext("%(what)s: none seen sound yet") % values
    days = _listed([str(n) for n in took])
    said = ngettext("%(what)s: the last took %(days)s days", "%(what)s: the last %(n)d took %(days)s days", len(took))
    return said % {**values, "days": days}


def _listed(words: list[str]) -> str:
    if len(words) < 2:
        return "".join(words)
    last = pgettext("last of a list", "%(most)s and %(last)s")
    return last % {"most": ", ".join(words[:-1]), "last": words[-1]}


def believed(found: Believed) -> list[tuple[str, str]]:
    """(what, what is believed and how surely), in the order of the check-in."""
    lines = [
        (gettext("reserve today"), _range(found.reserve)),
        (gettext("reserve after days without climbing"), gettext("about %(n)s") % {"n": rating(found.rested_reserve)}),
        (gettext("reserve under your usual load"), gettext("about %(n)s") % {"n": rating(found.worked_reserve)}),
        (gettext("dampness today"), _range(found.dampness)),
        (gettext("dampness without an agent, mild air"), gettext("about %(n)s") % {"n": rating(found.plain_dampness)}),
    ]
    if found.no_response_frac is not None:
        odds = gettext("%(n)s in 100") % {"n": in_100(found.no_response_frac, ODDS_STEP)}
        lines.append((gettext("chance that drying agents do nothing for your skin"), odds))
    return lines


def _range(values: tuple[float, float, float]) -> str:
    low, middle, high = (number_format(round(value), 0) for value in values)
    return gettext("about %(middle)s of 10; in 8 of 10 such cases %(low)s to %(high)s") % {
        "low": low, "middle": middle, "high": high,
    }  # fmt: skip


def rests_on(found: Believed) -> str:
    """How much was answered."""
    mornings = ngettext("%(n)d morning", "%(n)d mornings", found.checkins) % {"n": found.checkins}
    answers = ngettext(
        "%(n)d answer to “did skin limit you?”", "%(n)d answers to “did skin limit you?”", found.answers
    ) % {"n": found.answers}
    said = gettext("This rests on %(mornings)s and %(answers)s, on your own scale.") % {
        "mornings": mornings, "answers": answers,
    }  # fmt: skip
    if found.provisional:
        return gettext("%(said)s Provisional: too little of your squad is known to learn from it.") % {"said": said}
    return said


def took(days: Sequence[int], few: bool) -> str:
    """ "own cases: 9, 12 and 16 days", or nothing."""
    if not days:
        return ""
    words = gettext("own cases, too few: %(days)s days") if few else gettext("own cases: %(days)s days")
    return words % {"days": _listed([str(n) for n in days])}

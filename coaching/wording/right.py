"""How kept forecasts turned out, in plain words: no score is said without what it means."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.formats import number_format
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from coaching.usecases.shown_right import FEWEST, Bin, Gain, Horizon, Ratings, Right
from coaching.wording.dates import weekday

AHEAD = {
    "7": _("one week ahead"),
    "14": _("two weeks ahead"),
    "event": _("an event, up to two weeks ahead"),
}
RIVALS = {
    "average": _("the squad's average, the same for everybody"),
    "persistence": _("as the last answer was"),
    "week": _("by the mean reserve of the last 7 days"),
    "regression": _("a tuned logistic regression on the same facts"),
}
UNSCORED = {
    "to-come": _("their day is still to come"),
    "no-session": _("no session was recorded that day, so skin could not limit one"),
    "not-answered": _("a session was recorded, but “did skin limit you?” was not answered"),
    "damage-seen": _("no answer, but somebody saw damage open that day"),
    "not-shared": _("the athlete shares the level with you, but not the check-ins"),
}
SCALES = {"reserve": _("reserve"), "dampness": _("dampness")}


def in_10(tenths: int) -> str:
    """ "8 in 10"; "under 1 in 20" and "over 19 in 20" at the ends, where a tenth would say never or always."""
    if tenths == 0:
        return gettext("under 1 in 20")
    return gettext("over 19 in 20") if tenths == 10 else gettext("%(n)d in 10") % {"n": tenths}


def headline(found: Right) -> str:
    """What held when the commonest thing was said: 8 in 10 where there is enough of it."""
    sure = [one for one in found.bins if not one.few]
    if found.scored == 0:
        return gettext("Nothing to judge by yet.")
    if found.scored < FEWEST or not sure:
        return gettext("Too early to say.")
    told = next((one for one in sure if one.tenths == 8), max(sure, key=lambda one: one.count))
    words = gettext("When we said %(said)s, skin held %(held)d times in 100.")
    return words % {"said": in_10(told.tenths), "held": round(100 * told.held_frac)}


def lead(found: Right) -> str:
    """How much stands behind it."""
    scored = ngettext("%(n)d forecast has been scored", "%(n)d forecasts have been scored", found.scored)
    first = weekday(found.first_day, found.today)
    said = gettext("%(scored)s of %(kept)d kept for days since %(first)s.") % {
        "scored": scored % {"n": found.scored}, "kept": found.kept, "first": first,
    }  # fmt: skip
    if found.scored >= FEWEST:
        return said
    return said + " " + gettext("%(n)d are needed before a share means anything.") % {"n": FEWEST}


def verdict(bins: Sequence[Bin]) -> str:
    """Whether shares lie near what was said, tenths with too few left out."""
    sure = [one for one in bins if not one.few]
    if not sure:
        return gettext("No tenth has enough forecasts yet to say whether it held as often as said.")
    high = [in_10(one.tenths) for one in sure if one.said_frac > one.high]
    low = [in_10(one.tenths) for one in sure if one.said_frac < one.low]
    if not high and not low:
        return gettext("Wherever there is enough to judge by, skin held about as often as we said.")
    said = []
    if high:
        said.append(gettext("It held less often than we said at %(which)s.") % {"which": ", ".join(high)})
    if low:
        said.append(gettext("It held more often than we said at %(which)s.") % {"which": ", ".join(low)})
    return " ".join(said)


def bin_row(one: Bin) -> tuple[str, str, str, str]:
    """Said, how many, held in 100, where that share may lie."""
    spread = gettext("%(low)d to %(high)d") % {"low": round(100 * one.low), "high": round(100 * one.high)}
    return in_10(one.tenths), str(one.count), str(round(100 * one.held_frac)), spread


def gain(found: Gain) -> tuple[str, str, str]:
    """The rival, what the comparison says, and the range of it; a range across nil is no difference."""
    if found.gain is None:
        return str(RIVALS[found.rival]), gettext("not known: too few to compare"), ""
    points = number_format(abs(round(100 * found.gain)), 0)
    less = gettext("our error is %(n)s in 100 smaller") % {"n": points}
    said = less if found.gain >= 0 else gettext("our error is %(n)s in 100 larger") % {"n": points}
    if found.low is None or found.high is None:
        return str(RIVALS[found.rival]), said, gettext("range not known: too few athletes")
    spread = gettext("%(low)s to %(high)s") % {"low": signed(found.low), "high": signed(found.high)}
    if found.low <= 0 <= found.high:
        said = gettext("no clear difference yet")
    return str(RIVALS[found.rival]), said, spread


def signed(frac: float) -> str:
    """ "+12", "−3" in 100."""
    points = round(100 * frac)
    return f"+{points}" if points > 0 else f"−{-points}" if points < 0 else "0"


def horizon_row(found: Horizon) -> tuple[str, str, str, str, str]:
    """Horizon, how many, said and held in 100, mean error (Brier)."""
    if found.brier is None or found.said_frac is None or found.held_frac is None:
        return str(AHEAD[found.code]), str(found.count), "—", "—", gettext("too few yet")
    said, held = round(100 * found.said_frac), round(100 * found.held_frac)
    return str(AHEAD[found.code]), str(found.count), str(said), str(held), number_format(found.brier, 3)


def score_rows(found: Horizon) -> list[tuple[str, str]]:
    """The same in the terms of those who score forecasts."""
    named = (
        (gettext("Brier score, 0 best"), found.brier),
        (gettext("of it reliability, 0 best"), found.reliability),
        (gettext("less resolution, more is better"), found.resolution),
        (gettext("plus uncertainty of the days themselves"), found.uncertainty),
        (gettext("log score, 0 best"), found.log_score),
        (gettext("calibration error over ten bins, 0 best"), found.calibration),
        (gettext("area under the curve, 1 best, 0.5 by chance"), found.area),
    )
    return [(name, gettext("not known") if value is None else number_format(value, 3)) for name, value in named]


def rating_row(found: Ratings) -> tuple[str, str, str, str, str]:
    """Scale and horizon, how many, inside the 80 range, mean error in points, quarters."""
    name = gettext("%(scale)s, %(ahead)s") % {"scale": SCALES[found.scale], "ahead": AHEAD[str(found.days)]}
    if found.covered_80 is None or found.crps_pt is None:
        return name, str(found.count), "—", "—", gettext("too few yet")
    quarters = " · ".join(str(round(100 * part)) for part in found.quarters)
    return name, str(found.count), str(round(100 * found.covered_80)), number_format(found.crps_pt, 2), quarters


def unscored(found: Right) -> list[tuple[str, str]]:
    """How many could not be scored, and why."""
    return [(str(UNSCORED[code]), str(count)) for code, count in found.unscored.items() if count]


def damage_seen(found: Right) -> str:
    """What was said of days on which damage was seen open; not among the shares, and why."""
    if found.damage_seen_said is None:
        return ""
    return gettext(
        "Of the days on which damage was seen open, we had said %(n)d in 100 on average. They are not counted above: "
        "a day with neither damage nor an answer has no such witness, and counting only the bad ones would be unfair."
    ) % {"n": round(100 * found.damage_seen_said)}


def afterwards(found: Right) -> str:
    """Said loudly where forecasts were not shown when their day was still to come."""
    if not found.afterwards:
        return ""
    words = ngettext(
        "%(n)d of these forecasts was computed afterwards for the demo, from what was dated up to that evening.",
        "%(n)d of these forecasts were computed afterwards for the demo, each from what was dated up to its evening.",
        found.afterwards,
    )
    return words % {"n": found.afterwards} + " " + gettext("Nobody saw them at the time.")

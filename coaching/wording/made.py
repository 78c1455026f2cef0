"""What a number was made from, and what would change it most."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from coaching.usecases.shown_made import Helped, InputShown, MadeShown
from coaching.wording.dates import weekday
from coaching.wording.numbers import chance_range, in_100, rounding

INPUTS = {
    "checkins": _("mornings with an answer about the skin"),
    "answers": _("answers to “did skin limit you?”"),
    "sessions": _("sessions done"),
    "planned": _("sessions planned ahead"),
    "care": _("care done"),
    "care-planned": _("care planned ahead"),
    "trials": _("results of their own trials of agents, one hand against the other"),
    "damage": _("pieces of damage, and looks at them"),
    "air": _("days with the air of the place known"),
}
OPTIONS = {
    "half-load": _("half of the planned load until then"),
    "rest-last-days": _("no load on the last four days"),
    "agent-on": _("a drying agent (methenamine) every day until then"),
    "agent-off": _("no drying agent until then"),
    "soften": _("a cream every day until then"),
    "sand": _("filing once, three days before"),
}


def input_row(found: InputShown, as_of: date) -> tuple[str, str, str]:
    """What, how many, the newest; nothing of it is said as that."""
    if not found.count:
        return str(INPUTS[found.code]), gettext("none"), ""
    newest = gettext("newest %(day)s") % {"day": weekday(found.newest, as_of)} if found.newest else ""
    return str(INPUTS[found.code]), str(found.count), newest


def headline(found: MadeShown) -> str:
    """The number as the pages say it, and of whom."""
    if found.p is None or found.low is None or found.high is None:
        return gettext("How the number of %(name)s was made: there is none.") % {"name": found.name}
    number = in_100(found.p, rounding(found.low, found.high))
    return gettext("How %(n)s in 100 was made for %(name)s") % {"n": number, "name": found.name}


def spread(found: MadeShown) -> str:
    """What the range means."""
    if found.p is None or found.low is None or found.high is None:
        return ""
    return gettext(
        "The chance lies between %(range)s of 100 in 80 of 100 cases that agree with what is known today: how the skin "
        "is now, and what is particular to this athlete. What changes from day to day is in the chance itself."
    ) % {"range": chance_range(found.low, found.high)}


def helped(found: Helped) -> tuple[str, str, str]:
    """Rank, option, range of the change in points of 100; never a sum, because gains do not add up."""
    low, high = round(100 * found.low), round(100 * found.high)
    words = gettext("%(low)s to %(high)s") % {"low": signed(low), "high": signed(high)}
    return str(found.rank), str(OPTIONS[found.option]), words


def signed(points: int) -> str:
    """ "+4", "−3", "0"."""
    return f"+{points}" if points > 0 else f"−{-points}" if points < 0 else "0"


def winner(found: MadeShown) -> str:
    """Whether one option stands out."""
    if not found.helped:
        return gettext("Nothing that the rules allow before the event would change the number.")
    if not found.clear:
        return gettext("No clear winner: nothing here is sure not to cost and moves the number up by 3 in 100 or more.")
    return gettext("Most would help: %(what)s.") % {"what": OPTIONS[found.helped[0].option]}


def fitted(found: MadeShown) -> str:
    """Whether the quantities are the squad's own."""
    if found.fitted_on is None:
        return gettext("Nothing has been learned from this squad yet: every quantity is the register's, provisional.")
    day = weekday(found.fitted_on, found.as_of)
    if found.provisional:
        words = ngettext(
            "Provisional: on %(day)s there was %(n)d answer to learn from, too few.",
            "Provisional: on %(day)s there were %(n)d answers to learn from, too few.",
            found.answers,
        )
        return words % {"day": day, "n": found.answers}
    words = ngettext(
        "Learned from the squad on %(day)s, from %(n)d answer.",
        "Learned from the squad on %(day)s, from %(n)d answers.",
        found.answers,
    )
    return words % {"day": day, "n": found.answers}

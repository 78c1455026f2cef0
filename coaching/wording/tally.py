"""The tally of a session in words."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from coaching.wording.care import SURFACES
from coaching.wording.sentences import series

STOP_RULES = (
    _("Stop before a tip opens: when one burns, shows pink or no longer holds chalk."),
    _("At a split: stop at once. It costs a couple of days now, a week or more later."),
    _("The same move again and again costs most. Move on."),
)
"""Common practice, no source: climbers' own pages agree on these, and none gives a number."""


def tries(n: int) -> str:
    return ngettext("%(n)d hard try", "%(n)d hard tries", n) % {"n": n}


def by_surface(counts: Mapping[str, int]) -> str:
    """ "5 on plastic and 2 on wood"."""
    return series(
        gettext("%(n)d on %(surface)s") % {"n": n, "surface": SURFACES[surface]} for surface, n in counts.items()
    )


def of_most(total: int, most: int) -> str:
    """How many are left of what the day allows."""
    left = most - total
    if left > 0:
        return ngettext("%(n)d left today", "%(n)d left today", left) % {"n": left}
    if left == 0:
        return gettext("That was the last one for today. Stop here.")
    return ngettext("%(n)d over what today allows. Stop here.", "%(n)d over what today allows. Stop here.", -left) % {
        "n": -left,
    }  # fmt: skip


def since(began: datetime, now: datetime) -> str:
    minutes = max(0, int((now - began).total_seconds() // 60))
    return ngettext("%(n)d minute since the first", "%(n)d minutes since the first", minutes) % {"n": minutes}


def counted(total: int, counts: Mapping[str, int]) -> str:
    """ "7 hard tries: 5 on plastic and 2 on wood"."""
    return gettext("%(tries)s: %(where)s") % {"tries": tries(total), "where": by_surface(counts)}

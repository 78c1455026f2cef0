"""What a session may hold at most on one day."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext, ngettext

from coaching.rules.conclusions import Limit
from coaching.wording.care import SURFACES
from coaching.wording.conditions import condition
from coaching.wording.dates import day
from coaching.wording.sentences import Sentence, bold, capital, sentence


def limit(found: Limit, as_of: date) -> Sentence:
    """ "Thu 18: no rougher than wood, at most 30 min, at most 10 hard tries, if the look ... ." """
    said = "; ".join(what_is_allowed(found))
    values = {"day": bold(capital(day(found.date, as_of))), "limit": said}
    if found.if_:
        return sentence(
            gettext("%(day)s: %(limit)s, only if %(condition)s."),
            **values,
            condition=condition(found.if_, as_of),
        )
    return sentence(gettext("%(day)s: %(limit)s."), **values)


def what_is_allowed(found: Limit) -> list[str]:
    """Surface, minutes and hard tries as phrases; no surface means no load."""
    if found.surface is None:
        return [gettext("no load on the hands")]
    said = [gettext("no rougher than %(surface)s") % {"surface": SURFACES.get(found.surface, found.surface)}]
    if found.minutes is not None:
        said.append(gettext("at most %(n)d min") % {"n": found.minutes})
    if found.hard_tries is not None:
        words = ngettext("at most %(n)d hard try", "at most %(n)d hard tries", found.hard_tries)
        said.append(words % {"n": found.hard_tries})
    return said

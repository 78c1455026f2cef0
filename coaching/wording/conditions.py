"""What a step, a limit or a deadline depends on: the name of a look or a try."""

from __future__ import annotations

import re
from datetime import date

from django.utils.translation import gettext

from coaching.wording.dates import day
from coaching.wording.sites import site

_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
_SITE = re.compile(r"\b[LR]-[a-z-]+[a-z]\b")


def condition(token: str, as_of: date) -> str:
    """ "the look on Mon 15 at right middle, tip crease allows it"; what is left out stays out."""
    found_day = _DAY.search(token)
    found_site = _SITE.search(token)
    when = day(date.fromisoformat(found_day.group()), as_of) if found_day else ""
    where = site(found_site.group()) if found_site else ""
    return _said(token, when, where)


def _said(token: str, when: str, where: str) -> str:
    values = {"day": when, "site": where}
    if token.startswith("taped-try"):
        return (
            gettext("the taped try on %(day)s holds") if when else gettext("the taped try holds")
        ) % values
    if token.startswith("rehearsal"):
        return (
            gettext("the rehearsal on %(day)s holds") if when else gettext("the rehearsal holds")
        ) % values
    if when and where:
        return gettext("the look on %(day)s at %(site)s allows it") % values
    if when:
        return gettext("the look on %(day)s allows it") % values
    return (gettext("a look at %(site)s allows it") if where else gettext("a look allows it")) % values

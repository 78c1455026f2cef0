"""Which number reaches help, and how surely that is known."""

from __future__ import annotations

from collections.abc import Iterable

from django.utils.translation import gettext

from athletes.records.emergency import Emergency, mobile_numbers
from coaching.wording.sentences import series


def numbers(found: Iterable[Emergency]) -> list[tuple[str, str]]:
    """(number, where it is meant for) of the countries whose number is known; one that serves several stands once."""
    known: dict[tuple[str, bool], list[str]] = {}
    for one in found:
        if one.number:
            known.setdefault((one.number, one.standard), []).append(one.country)
    return [(number, _where(countries, standard)) for (number, standard), countries in known.items()]


def _where(countries: list[str], standard: bool) -> str:
    where = gettext("emergency number in %(country)s") % {"country": series(countries)}
    return where if standard else gettext("%(where)s; from memory, ask there") % {"where": where}


def unknown(found: Iterable[Emergency]) -> str:
    """Countries whose number is not known here, or nothing."""
    named = [one.country for one in found if not one.number]
    return gettext("The emergency number in %(where)s is not known here.") % {"where": series(named)} if named else ""


def anywhere() -> tuple[tuple[str, ...], str]:
    """Numbers that a mobile telephone takes on any network, and that sentence."""
    return mobile_numbers(), gettext("elsewhere: put through by a mobile telephone on any network")

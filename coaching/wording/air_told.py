"""Air as it is told: what a file holds, what was stored, and what came of asking the forecast service."""

from __future__ import annotations

from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from athletes.records.queries_air import PlaceLine
from coaching.usecases.ask_forecast import Answered
from coaching.usecases.shown_air import AirPage
from coaching.usecases.tell_air import StoredAir
from coaching.wording.dates import event_day, moment
from coaching.wording.sentences import capital

KINDS = {"crag": _("crag"), "hall": _("hall"), "": _("kind not known")}
ANSWERS = {
    "off": _("Nobody has switched the forecast service on here."),
    "no-position": _("The place has no position, so no forecast can be asked for."),
    "early": _("The service asks not to be asked again yet; the last forecast is the newest there is."),
    "resting": _("The service failed three times in ten minutes and is left in peace for a while."),
    "address": _("The address of the service is not one that may be asked."),
    "hang": _("The service did not answer within five seconds."),
    "unreachable": _("The service cannot be reached."),
    "redirect": _("The service points elsewhere; that is not followed."),
    "status": _("The service answered that it failed."),
    "too-large": _("The answer is larger than a forecast can be."),
    "not-json": _("The answer is no forecast: it is not JSON as documented."),
    "form": _("The answer is no forecast in the documented form."),
    "units": _("The answer uses other units than documented; none is guessed."),
    "values": _("The answer holds values that no air has."),
}
FAILED = _("No air was changed: pages go on without this forecast and say so.")


def answered(found: Answered) -> str:
    """What came of asking."""
    if found.code == "stored":
        return ngettext("Forecast stored: %(n)d new hour.", "Forecast stored: %(n)d new hours.", found.hours) % {
            "n": found.hours
        }
    return f"{ANSWERS[found.code]} {FAILED}"


def stored(found: StoredAir) -> str:
    """ "12 hours new, 1 corrected, 3 known before."."""
    return gettext("Stored: %(new)d new, %(corrected)d corrected, %(same)d known before.") % {
        "new": found.new, "corrected": found.corrected, "same": found.same,
    }  # fmt: skip


def service(page: AirPage) -> list[str]:
    """Whether the service may be asked, and what it last said."""
    if not page.service:
        return [
            gettext("Off. Whoever runs this installation switches it on by TENPADS_FORECAST_CONTACT, an address where "
                    "the people of the service can reach them.")
        ]  # fmt: skip
    said = [
        gettext("%(name)s, open data (CC BY 4.0). Not proven against the live service yet: compare its first answers.")
        % {"name": page.service}
    ]
    if page.asked:
        when = moment(page.asked.at, page.today)
        outcome = ANSWERS[page.asked.failure] if page.asked.failure else gettext("answered")
        said.append(gettext("Last asked %(when)s (UTC): %(outcome)s") % {"when": when, "outcome": outcome})
    return said


def known(line: PlaceLine) -> str:
    """Until when a place's air is known."""
    said = []
    if line.observed_at:
        said.append(gettext("measured until %(day)s") % {"day": event_day(line.observed_at.date())})
    if line.forecast_of:
        said.append(gettext("forecast of %(day)s") % {"day": event_day(line.forecast_of.date())})
    return capital("; ".join(said)) if said else gettext("Air not known")


def about(line: PlaceLine) -> str:
    """ "Crag, granite, 900 m"."""
    place = line.place
    said = [str(KINDS.get(place.kind, place.kind))]
    if place.rock:
        said.append(gettext(place.rock))
    if place.altitude_m is not None:
        said.append(gettext("%(n)d m") % {"n": round(place.altitude_m)})
    return capital(", ".join(said))

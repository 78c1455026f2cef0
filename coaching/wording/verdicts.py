"""May one climb today, and what a sign of infection asks for. Advice is plain and never names an illness."""

from __future__ import annotations

from collections.abc import Iterable

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from coaching.rules.conclusions import Today
from coaching.usecases.cutting import TodayWithheld
from coaching.wording.sentences import series
from coaching.wording.sites import site_list

MAY_CLIMB = {
    "free": _("May climb as planned"),
    "protected": _("May climb, protected"),
    "not-those-holds": _("May climb, but not those holds"),
    "off": _("No load on the hands today"),
    "medical": _("No climbing"),
    "not-known": _("Not known: protect until someone has looked"),
}
HOLDS = {
    "crimp": _("crimps"),
    "pocket": _("pockets"),
    "sloper": _("slopers"),
    "jug": _("jugs"),
    "pinch": _("pinches"),
    "swing": _("swings"),
    "crack": _("cracks"),
}
MEDICAL = {
    "none": _("no sign of infection was named"),
    "ask": _("a note is in doubt: ask"),
    "today": _("a doctor today"),
    "emergency": _("emergency department now"),
}
INSTRUCTIONS = {
    "ask": _("Ask in person today."),
    "today": _("A doctor today."),
    "emergency": _("Emergency department now."),
}
RED_FLAGS = {
    "swelling": _("swelling"),
    "spreading-redness": _("redness that spreads"),
    "redness-past-joint": _("redness past a joint"),
    "warmth": _("warmth"),
    "throbbing": _("throbbing"),
    "rising-pain": _("pain that rises"),
    "pus": _("pus"),
    "streak": _("a red streak up the hand or arm"),
    "fever": _("fever, or feeling ill"),
    "swollen-glands": _("swollen glands"),
    "cannot-bend": _("the finger cannot be bent"),
    "pain-on-straightening": _("pain when the finger is straightened"),
    "clear-blisters": _("small clear blisters"),
    "numb": _("numb skin"),
}


def verdict(today: Today) -> str:
    """The verdict in a few words; whoever is not told why hears whom to ask."""
    if isinstance(today, TodayWithheld):
        return gettext("Ask the medical person or the coach what is allowed today")
    return str(MAY_CLIMB[today.may_climb])


def holds(codes: Iterable[str]) -> str:
    """Kinds of hold as one phrase."""
    return series(HOLDS[code] for code in codes)


def what_it_means(today: Today) -> list[str]:
    """What to keep in mind with the verdict: the sites, then the holds to leave alone."""
    said = []
    if today.sites:
        said.append(_about_sites(today.may_climb) % {"sites": site_list(today.sites)})
    if today.avoid and today.may_climb not in ("off", "medical"):
        said.append(gettext("Leave out: %(holds)s.") % {"holds": holds(today.avoid)})
    if today.may_climb == "not-known":
        said.append(
            gettext("No fresh answer or look: tape what was sore last, and stop when anything burns.")
        )
    return said


def _about_sites(may_climb: str) -> str:
    if may_climb == "protected":
        return gettext("Tape or cover before any load: %(sites)s.")
    if may_climb in ("off", "medical"):
        return gettext("Because of: %(sites)s.")
    return gettext("Spare: %(sites)s.")


def red_flags(codes: Iterable[str]) -> str:
    """Signs that were named, as one phrase."""
    return series(RED_FLAGS[code] for code in codes)


def medical_advice(grade: str, told: bool = True) -> list[str]:
    """What to do, most urgent first; empty where no sign was named.

    Not `told` why, because neither answers nor damage are shared: the instruction only, nothing about a sign.
    """
    if not told:
        return [str(INSTRUCTIONS[grade])] if grade in INSTRUCTIONS else []
    advice = {"emergency": _emergency, "today": _today, "ask": _ask}.get(grade)
    return advice() if advice else []


def _emergency() -> list[str]:
    return [
        gettext("Go to an emergency department now, or call the local emergency number."),
        gettext("No climbing, no tape, no glue, no filing. Wait for nothing, not even for signal."),
        gettext("This is no diagnosis; only a doctor may judge that sign. Tell a minor's guardian now."),
    ]


def _today() -> list[str]:
    return [
        gettext("A doctor looks at it today. Off climbing until then."),
        gettext("Keep it clean and loosely covered; no tape under load, no glue, no filing, do not open it."),
        gettext(
            "A red streak, fever, redness past a joint, a finger that cannot bend or that hurts when "
            "straightened: emergency department, now."
        ),
        gettext("This is no diagnosis. Tell a minor's guardian today."),
    ]


def _ask() -> list[str]:
    return [
        gettext("A note leaves doubt: someone looks and asks today, before the session."),
        gettext("Red, warm, swollen, throbbing or pus: a doctor today."),
    ]

"""What is seen in the skin, one sentence for each reason that lies there."""

from __future__ import annotations

from collections.abc import Callable

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from coaching.rules.conclusions import Number, Reason
from coaching.wording.actions import Scene
from coaching.wording.care import KINDS, STAGES
from coaching.wording.numbers import rating
from coaching.wording.sentences import capital
from coaching.wording.sites import site
from coaching.wording.verdicts import RED_FLAGS

LIKELY_FRAC, UNLIKELY_FRAC = 0.8, 0.2
"""Where "doubtful" begins and ends: the 80 % that deadlines use, and the other side of it."""


def number(found: Reason, key: str) -> float | None:
    """A number that the reason carries, or None where it does not."""
    value: Number = found.numbers.get(key)
    return float(value) if isinstance(value, int | float) else None


def where(found: Reason) -> str:
    """The place of the reason in words; a reason that lost its site on the way to this viewer says so."""
    return gettext("site not shared with you") if found.site is None else site(found.site)


def medical(found: Reason, scene: Scene) -> str:
    """The sign itself is named only to whoever also sees where it is.

    Whoever is told neither answers nor damage hears what to do and not that there was a sign.
    """
    if found.site is None and "flags" not in found.numbers:
        return ""
    first = found.numbers.get("first_flag") if found.site is not None else None
    if found.numbers.get("grade") == "ask":
        return gettext("A note or a worry leaves doubt.")
    if isinstance(first, str) and first in RED_FLAGS:
        return gettext("A doctor must judge this: %(flag)s.") % {"flag": RED_FLAGS[first]}
    return gettext("A sign was named that only a doctor may judge.")


def split(found: Reason, scene: Scene) -> str:
    crease = "crease" in (found.site or "")
    name = gettext("Crease split") if crease else gettext("Split")
    return _damage(name, found, scene)


def tear(found: Reason, scene: Scene) -> str:
    name = str(KINDS.get(str(found.numbers.get("kind")), _("torn skin")))
    return _damage(capital(name), found, scene)


def _damage(name: str, found: Reason, scene: Scene) -> str:
    values = {"what": name, "site": where(found), "state": _state(found), "outlook": _outlook(found, scene)}
    if not values["state"]:
        return gettext("%(what)s, %(site)s: %(outlook)s.") % values
    return gettext("%(what)s, %(site)s, %(state)s: %(outlook)s.") % values


def _state(found: Reason) -> str:
    if found.numbers.get("opens_on_pull"):
        return gettext("still opens")
    stage = found.numbers.get("stage")
    seen = str(STAGES[stage]) if isinstance(stage, str) and stage in STAGES else ""
    return ", ".join(filter(None, (seen, _pain(found))))


def _pain(found: Reason) -> str:
    """Pain over its limit, which alone can keep skin that looks well from being on course."""
    pain, limit = number(found, "pain"), number(found, "pain_limit")
    if pain is None or limit is None or pain <= limit:
        return ""
    return gettext("pain %(n)d of 10, at most %(limit)d") % {"n": pain, "limit": limit}


def _outlook(found: Reason, scene: Scene) -> str:
    """What the course of such damage means for this event; never that it will be ready."""
    if scene.out_of_reach:
        return gettext("not expected back in time")
    sound, usable = number(found, "p_sound"), number(found, "p_usable")
    if sound is not None and sound >= LIKELY_FRAC:
        return gettext("likely sound by then, looks decide")
    if usable is None or usable < UNLIKELY_FRAC:
        return gettext("doubtful, even taped")
    if usable < LIKELY_FRAC or scene.entry.level == "act":
        return gettext("doubtful, possible if taped")
    return gettext("likely usable taped, looks decide")


def pink(found: Reason, scene: Scene) -> str:
    count = number(found, "sites")
    if count and count > 1:
        said = gettext("Pink at %(n)d places, one of them %(site)s: nothing rough until it no longer stings.")
        return said % {"n": count, "site": where(found)}
    return gettext("Pink, %(site)s: nothing rough until it no longer stings.") % {"site": where(found)}


def reserve(found: Reason, scene: Scene) -> str:
    now, usual = number(found, "reserve"), number(found, "usual")
    if now is None:
        return gettext("Little skin left.")
    if usual is None:
        return gettext("Little skin left: reserve about %(now)s.") % {"now": rating(now)}
    return gettext("Little skin left: reserve about %(now)s, usually %(usual)d.") % {
        "now": rating(now), "usual": round(usual),
    }  # fmt: skip


def rated(key: str, with_number: object, without: object) -> Callable[[Reason, Scene], str]:
    def said(found: Reason, scene: Scene) -> str:
        value = number(found, key)
        return str(without) if value is None else str(with_number) % {"n": rating(value)}

    return said


def at_site(with_site: object, without: object) -> Callable[[Reason, Scene], str]:
    def said(found: Reason, scene: Scene) -> str:
        return str(with_site) % {"site": where(found)} if found.site else str(without)

    return said

"""Places on the hand: site code -> "right middle, tip crease"."""

from __future__ import annotations

from collections.abc import Iterable

from django.utils.translation import gettext, pgettext_lazy
from django.utils.translation import gettext_lazy as _

HANDS = {"L": _("left"), "R": _("right")}
DIGITS = {
    "thumb": _("thumb"),
    "index": _("index"),
    "middle": pgettext_lazy("finger", "middle"),
    "ring": pgettext_lazy("finger", "ring"),
    "little": pgettext_lazy("finger", "little"),
}
ZONES = {
    "tip": _("tip pad"),
    "middle": _("middle pad"),
    "base": _("base pad"),
    "tip-crease": _("tip crease"),
    "middle-crease": _("middle crease"),
    "base-crease": _("base crease"),
    "thumb-side": _("thumb side"),
    "little-side": _("little-finger side"),
    "back": pgettext_lazy("of a finger", "back"),
    "nail-rim": _("nail rim"),
}
PALM = {"palm-callus": _("callus row"), "palm-heel": _("heel"), "web": _("web of the thumb")}
NOT_KNOWN = "site not known"


def site(code: str | None) -> str:
    """The place as one says it; a missing or unreadable code is "site not known", never a guess."""
    parts = (code or "").split("-", 2)
    hand = HANDS.get(parts[0])
    if hand is None or len(parts) < 2:
        return gettext("site not known")
    palm = PALM.get("-".join(parts[1:]))
    if palm:
        return gettext("%(hand)s palm, %(zone)s") % {"hand": hand, "zone": palm}
    return _on_digit(hand, parts[1], parts[2] if len(parts) > 2 else "")


def _on_digit(hand: object, digit: str, zone: str) -> str:
    if digit not in DIGITS:
        return gettext("site not known")
    values = {"hand": hand, "digit": DIGITS[digit], "zone": ZONES.get(zone, "")}
    if zone not in ZONES:
        return gettext("%(hand)s %(digit)s") % values
    return gettext("%(hand)s %(digit)s, %(zone)s") % values


def digit(code: str) -> str:
    """ "right middle" for a code of a digit (`R-middle`) or of any site on it."""
    hand, name = (code.split("-") + [""])[:2]
    if hand not in HANDS or name not in DIGITS:
        return site(code)
    return gettext("%(hand)s %(digit)s") % {"hand": HANDS[hand], "digit": DIGITS[name]}


def zone(code: str) -> str:
    """The zone alone: "tip crease"."""
    name = code.split("-", 2)[-1]
    palm = PALM.get(code.split("-", 1)[-1])
    return str(palm or ZONES.get(name, gettext("site not known")))


def site_list(codes: Iterable[str]) -> str:
    """Several places, each named once; set apart by semicolons, because their names hold commas."""
    return "; ".join(site(code) for code in dict.fromkeys(codes))


def all_names(codes: Iterable[str]) -> dict[str, str]:
    """Every given code with its name, for a drawing's labels."""
    return {code: site(code) for code in codes}

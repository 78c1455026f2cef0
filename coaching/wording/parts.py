"""What a number is made of: names of the contributions, in the order they are shown."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from coaching.usecases.shown import DamageShown, EntryShown
from coaching.wording.care import KINDS
from coaching.wording.numbers import change
from coaching.wording.sites import site

PARTS = {
    "reserve": _("reserve today, against the usual"),
    "load": _("load as planned, against the usual week"),
    "dampness": _("damper than suits"),
    "dryness": _("drier than suits"),
    "glassy": _("harder than suits"),
    "agent": _("drying agents, done and planned"),
    "air": _("air at the event, against mild air"),
}


@dataclass(frozen=True)
class Part:
    """One line of "how this number was made": `change_frac` is what that one thing does to the chance."""

    name: str
    change_frac: float
    said: str


def parts(entry: EntryShown, episodes: Mapping[str, DamageShown]) -> list[Part]:
    """Every contribution that moves the chance by half a point or more, the largest first.

    The models give the rise of the chance were that one thing as usual; what it costs is the negative.
    """
    found = [(part_name(code), value) for code, value in entry.parts.items()]
    for key, value in entry.episode_parts.items():
        found.append((_episode_name(episodes.get(key)), value))
    costs = [Part(name, -value, change(-value)) for name, value in found if abs(value) >= 0.005]
    return sorted(costs, key=lambda part: -abs(part.change_frac))


def part_name(code: str) -> str:
    """The name of a contribution; its own code where a model brings one that has no words yet."""
    return str(PARTS.get(code, code))


def _episode_name(episode: DamageShown | None) -> str:
    if episode is None:
        return gettext("damage, not shared")
    return gettext("%(kind)s, %(site)s") % {"kind": KINDS[episode.kind], "site": site(episode.site)}

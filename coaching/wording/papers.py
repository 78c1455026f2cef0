"""What every paper that is handed over says: as known at, what is not shared, who made it; and words of a profile."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from zoneinfo import ZoneInfo

from django.utils.translation import get_language, gettext
from django.utils.translation import gettext_lazy as _

from coaching.sheets.paper_values import Line, Paper, PaperPage
from coaching.sheets.values import SpotOnHand
from coaching.usecases.shown import DamageShown, MarkShown, PictureShown
from coaching.wording import care, cautions, levels, sites
from coaching.wording.dates import clock_time, event_day
from coaching.wording.sentences import series

SENSITIVITIES = {
    "formaldehyde": _("formaldehyde and what sets it free"), "methenamine": _("methenamine"),
    "aluminium": _("aluminium salts"), "rosin": _("rosin (colophony)"), "adhesive": _("adhesive of tape"),
    "latex": _("latex"), "acrylate": _("acrylate glue"),
}  # fmt: skip
CONTRAINDICATIONS = {
    "pregnancy": _("pregnancy"), "breast-feeding": _("breast-feeding"), "implant": _("an implant that carries current"),
    "metal": _("metal in the body"), "heart": _("heart trouble"), "epilepsy": _("epilepsy"),
    "numb-skin": _("numb skin"), "other": _("something else, ask"),
}  # fmt: skip
WORRIES = {
    "dirty": _("dirt in it"), "gaping": _("gapes"), "object-inside": _("something inside"), "bite": _("a bite"),
    "tetanus-unknown": _("tetanus doses not known"),
}  # fmt: skip
REACTIONS = {"mild": _("mild reaction"), "stopped": _("stopped because of a reaction")}


def not_shared() -> str:
    return gettext("not shared")


def as_known(at: datetime, timezone: str) -> str:
    """ "As known at Thu 11 Mar 2027, 07:04 (Europe/Vienna)."."""
    local = at.astimezone(ZoneInfo(timezone))
    return gettext("As known at %(day)s %(year)s, %(time)s (%(zone)s).") % {
        "day": event_day(local.date()), "year": local.year, "time": clock_time(local), "zone": timezone,
    }  # fmt: skip


def paper(title: str, known_at: datetime, timezone: str, pages: Iterable[PaperPage]) -> Paper:
    """The pages with the foot that stands on each."""
    known = as_known(known_at, timezone)
    return Paper(
        title=title,
        language=(get_language() or "en").split("-")[0],
        known_at=known_at,
        foot=gettext("%(title)s. %(known)s %(skin)s") % {
            "title": title, "known": known, "skin": cautions.plain(levels.skin_only),
        },
        pages=tuple(pages),
        words={
            "left": gettext("left hand"), "right": gettext("right hand"), "page": gettext("page %(n)s of %(of)s"),
        },
    )  # fmt: skip


def line(name: str, said: str | None, none: str = "") -> Line:
    """A name and what is told; None is not shared, and nothing at all says `none`, else leaves room for a pen."""
    if said is None:
        return Line(name, not_shared())
    return Line(name, said or none, blank=not (said or none))


def codes(found: Iterable[str], words: dict[str, object]) -> str:
    return series(words.get(code, code) for code in found)


def spots(picture: PictureShown | None) -> tuple[SpotOnHand, ...]:
    """Places that are not sound, for the two hands."""
    if picture is None:
        return ()
    hurt = [one for one in picture.damage if one.stage != "sound"]
    taken = {one.site for one in hurt}
    return (*map(_damage, hurt), *(_mark(one) for one in picture.marks if one.site not in taken))


def _damage(one: DamageShown) -> SpotOnHand:
    said = f"{sites.site(one.site)}: {care.state_phrase(one.kind, one.stage)}"
    return SpotOnHand(one.site, one.stage, one.kind, said)


def _mark(one: MarkShown) -> SpotOnHand:
    return SpotOnHand(one.site, one.mark, "", f"{sites.site(one.site)}: {care.MARKS[one.mark]}")

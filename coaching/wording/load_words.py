"""The week of load beside the athlete's own weeks, in words; no bands of risk."""

from __future__ import annotations

from django.utils.formats import number_format
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from coaching.usecases.load_table import LONG_D, SHORT_D, LoadTable
from coaching.wording.numbers import load

WHY_NOT = {
    "days-unknown": _("undefined: days not known"),
    "all-zero": _("undefined: a week without load"),
    "all-equal": _("undefined: the days do not differ"),
}
RATIO_CAUTION = _(
    "The ratio says only that a week was more or less than those before it. It predicts no injury, and no value of it "
    "is safe or unsafe."
)


def rows(found: LoadTable) -> list[tuple[str, str]]:
    """Name and value of each line, what is not known said as that."""
    short, long = (gettext("mean day, half-life %(n)d days") % {"n": n} for n in (SHORT_D, LONG_D))
    lines = [(short, load(found.short_slu)), (long, load(found.long_slu))]
    strain = load(found.strain_slu) if found.strain_slu is not None else str(WHY_NOT[found.why_no_strain])
    lines.append((gettext("load x monotony (Foster)"), strain))
    lines.append((gettext("this week over the three weeks before"), _ratio(found.ratio)))
    return [*lines, (gettext("days not known, of the last 28"), _unknown(found.unknown_days))]


def _ratio(value: float | None) -> str:
    if value is None:
        return gettext("not known: needs 28 days in a row that are known")
    return number_format(round(value, 1), 1)


def _unknown(days: int) -> str:
    if not days:
        return gettext("none")
    words = ngettext(
        "%(n)d day; it counts for nothing, not as rest", "%(n)d days; they count for nothing, not as rest", days
    )
    return words % {"n": days}

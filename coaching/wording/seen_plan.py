"""What is seen in the plan and in the answers, one sentence for each reason that lies there."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from coaching.rules.conclusions import Reason
from coaching.wording.actions import Scene
from coaching.wording.care import MARKS, form
from coaching.wording.dates import day, days_count, weekday
from coaching.wording.deadlines import KINDS, SAYS_ITS_FORM
from coaching.wording.refusals import CLASSES_SHORT
from coaching.wording.seen_skin import number, where
from coaching.wording.sentences import capital


def agent(found: Reason, scene: Scene) -> str:
    name, class_ = found.numbers.get("form"), found.numbers.get("class")
    if not isinstance(name, str):
        return gettext("A drying agent is still at work; it needs its time before the event.")
    if class_ == "timing" and isinstance(found.numbers.get("planned_on"), str):
        return _planned_too_late(name, found, scene)
    if isinstance(class_, str):
        return gettext("%(form)s, %(why)s.") % {
            "form": capital(form(name)),
            "why": CLASSES_SHORT.get(class_, _("refused")),
        }
    return gettext("%(form)s is still at work; it needs its time before the event.") % {
        "form": capital(form(name))
    }


def _planned_too_late(name: str, found: Reason, scene: Scene) -> str:
    """Which planned day was refused, so that the last day for a first use does not read as its contradiction."""
    planned = day(date.fromisoformat(str(found.numbers["planned_on"])), scene.as_of)
    said = gettext("%(form)s, planned %(day)s: too close to the event.")
    if (number(found, "rows") or 1) > 1:
        said = gettext("%(form)s, planned from %(day)s: too close to the event.")
    return said % {"form": capital(form(name)), "day": planned}


def toughening(found: Reason, scene: Scene) -> str:
    return gettext("Cracks ahead: the run of toughening evenings is not done.")


def load(found: Reason, scene: Scene) -> str:
    rough = found.numbers.get("rough_on")
    if isinstance(rough, str):
        planned = weekday(date.fromisoformat(rough), scene.as_of)
        return gettext("A rough session is planned %(day)s, too close to the event.") % {"day": planned}
    if found.numbers.get("heavy"):
        return gettext("The last week was among the heaviest for this skin; rest would lift the chance.")
    return gettext("The planned load wears the skin; rest would lift the chance.")


def layoff(found: Reason, scene: Scene) -> str:
    days = number(found, "days")
    if days is None:
        return gettext("Too long without load: the tips are soft. Build up on kind surfaces.")
    return gettext("%(days)s without load: the tips are soft. Build up on kind surfaces.") % {
        "days": days_count(int(days))
    }


def clash(found: Reason, scene: Scene) -> str:
    gap = number(found, "days_apart")
    if gap is None or gap < 1:
        return gettext("Two events at once: the skin has no time between them.")
    return gettext("Two events, %(days)s apart: no normal week between them.") % {
        "days": days_count(int(gap))
    }


def air(found: Reason, scene: Scene) -> str:
    gap = number(found, "dew_point_difference_c")
    if gap is None:
        return gettext("The air at the event differs from home.")
    above = gettext("The event's dew point is %(n)d °C above home.")
    below = gettext("The event's dew point is %(n)d °C below home.")
    if found.numbers.get("typical"):
        above = gettext("No forecast yet: typical air there has a dew point %(n)d °C above home.")
        below = gettext("No forecast yet: typical air there has a dew point %(n)d °C below home.")
    return (above if gap >= 0 else below) % {"n": abs(round(gap))}


def silence(found: Reason, scene: Scene) -> str:
    days = number(found, "days")
    if days is None:
        return gettext("No answers yet: the range is wide.")
    return gettext("No answer for %(days)s; the range widens each day.") % {"days": days_count(int(days))}


def disagreement(found: Reason, scene: Scene) -> str:
    same, mark = number(found, "answers"), found.numbers.get("mark")
    seen = MARKS.get(mark) if isinstance(mark, str) else None
    if not same or seen is None:
        return gettext("What was answered and what was seen differ.")
    words = ngettext("%(n)d answer alike", "%(n)d answers alike", int(same)) % {"n": same}
    return gettext("%(same)s; someone saw %(mark)s, %(site)s.") % {
        "same": words,
        "mark": seen,
        "site": where(found),
    }


def deadline(found: Reason, scene: Scene) -> str:
    kind = str(found.numbers.get("kind") or "")
    what = str(KINDS.get(kind, gettext("a step")))
    name = found.numbers.get("form")
    if isinstance(name, str) and kind not in SAYS_ITS_FORM:
        what = gettext("%(what)s: %(about)s") % {"what": what, "about": form(name)}
    if found.numbers.get("state") == "missed":
        return gettext("Missed: %(what)s.") % {"what": what}
    return f"{capital(what)}."

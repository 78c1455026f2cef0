"""Why an entry is not on course, as a coach would say it: what is seen, what it means, what to do by when.

The rules hand over numbers by name; one that is missing is left out of the sentence, never guessed.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from coaching.rules.conclusions import Reason
from coaching.usecases.shown import EntryShown
from coaching.wording import seen_plan, seen_skin
from coaching.wording.actions import DO, Scene, action, when_due
from coaching.wording.dates import day, moment
from coaching.wording.sentences import Sentence, bold, joined, sentence


def reason(found: Reason, entry: EntryShown, as_of: date) -> Sentence:
    """The whole sentence for one reason: what is seen, then what to do with its date in bold."""
    scene = Scene(as_of, entry)
    seen = _SEEN[found.code](found, scene)
    return joined([Sentence(seen), _OWN_ACTION.get(found.code, action)(found, scene)])


def quiet(entry: EntryShown, as_of: date) -> Sentence:
    """The line of an athlete who is on course: what comes next, without weight."""
    coming = [d for d in entry.deadlines if d.state in ("open", "due") and d.latest >= as_of]
    if not coming:
        return Sentence(gettext("Nothing needed."))
    first = min(coming, key=lambda d: d.latest)
    return Sentence(action_of(first.kind, entry, as_of))


def action_of(kind: str, entry: EntryShown, as_of: date) -> str:
    """What the nearest deadline of a kind asks for, as plain words."""
    found = Scene(as_of, entry).next_of(kind)
    return str(DO[kind]) % {"day": when_due(found, as_of)} if found else ""


def _medical_action(found: Reason, scene: Scene) -> Sentence:
    grade = found.numbers.get("grade")
    if grade == "emergency":
        return sentence(gettext("No climbing. Emergency department %(when)s."), when=bold(gettext("now")))
    if grade == "ask":
        return sentence(gettext("Ask in person %(when)s."), when=bold(gettext("today")))
    return sentence(gettext("No climbing. A doctor %(when)s."), when=bold(gettext("today")))


def _ask_today(found: Reason, scene: Scene) -> Sentence:
    return sentence(gettext("Ask by voice %(when)s."), when=bold(gettext("today")))


def _look_soon(found: Reason, scene: Scene) -> Sentence:
    when = day(found.date, scene.as_of) if found.date else gettext("today")
    return sentence(gettext("Look in person %(when)s, and ask without blame."), when=bold(when))


def _deadline_action(found: Reason, scene: Scene) -> Sentence:
    """The date itself, with its hour where it has one; a missed one asks what now."""
    if found.numbers.get("state") == "missed" or found.date is None:
        return sentence(gettext("Decide %(when)s what replaces it."), when=bold(gettext("today")))
    at = found.numbers.get("at")
    zone = str(found.numbers.get("zone") or "")
    when = moment(at, scene.as_of, zone) if isinstance(at, str) else day(found.date, scene.as_of)
    return sentence(gettext("Last day: %(when)s."), when=bold(when))


_SEEN: dict[str, Callable[[Reason, Scene], str]] = {
    "medical": seen_skin.medical,
    "split": seen_skin.split,
    "tear": seen_skin.tear,
    "pink": seen_skin.pink,
    "reserve": seen_skin.reserve,
    "dampness": seen_skin.rated("dampness", _("Fingers work damp, about %(n)s."), _("Fingers work damp.")),
    "dryness": seen_skin.rated(
        "dampness",
        _("Skin is dry, dampness about %(n)s: it slips and splits."),
        _("Skin is dry: it slips and splits."),
    ),
    "glassy": seen_skin.at_site(
        _("Glassy, %(site)s: it slips without warning."), _("Glassy: it slips without warning.")
    ),
    "shedding": seen_skin.at_site(_("Thick skin peels off, %(site)s."), _("Thick skin peels off.")),
    "agent": seen_plan.agent,
    "toughening": seen_plan.toughening,
    "load": seen_plan.load,
    "layoff": seen_plan.layoff,
    "clash": seen_plan.clash,
    "air": seen_plan.air,
    "silence": seen_plan.silence,
    "disagreement": seen_plan.disagreement,
    "deadline": seen_plan.deadline,
}
_OWN_ACTION: dict[str, Callable[[Reason, Scene], Sentence]] = {
    "medical": _medical_action,
    "silence": _ask_today,
    "disagreement": _look_soon,
    "deadline": _deadline_action,
}
CODES = tuple(_SEEN)

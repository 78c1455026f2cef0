"""What to do about a reason, and by when: the nearest undone deadline that answers it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from coaching.rules.conclusions import Deadline, Reason
from coaching.usecases.shown import EntryShown
from coaching.wording.dates import day, moment
from coaching.wording.sentences import Sentence, bold, sentence


@dataclass(frozen=True)
class Scene:
    """Where a reason is said: on which day, and for which entry."""

    as_of: date
    entry: EntryShown

    def next_of(self, kind: str, site: str | None = None) -> Deadline | None:
        """The nearest deadline of a kind that is neither done nor missed, for the site where one is given."""
        found = [
            d
            for d in self.entry.deadlines
            if d.kind == kind and d.state in ("open", "due") and (site is None or d.site in (None, site))
        ]
        return min(found, key=lambda d: d.latest, default=None)

    @property
    def out_of_reach(self) -> bool:
        return self.entry.level == "out-of-reach"


DO = {
    "agent-first-use": _("A first use, if at all, by %(day)s, patch check first."),
    "agent-start": _("Start the agent run by %(day)s."),
    "agent-stop": _("Last use of the agent %(day)s."),
    "soften-start": _("Start the cream by %(day)s."),
    "even-last": _("Last sanding, on dry skin, %(day)s."),
    "rough-session-last": _("Last rough session %(day)s."),
    "rest-start": _("Off the skin from %(day)s."),
    "toughen-start": _("First toughening evening by %(day)s."),
    "toughen-stop": _("Last toughening evening %(day)s."),
    "look": _("Look on %(day)s."),
    "taped-try": _("Taped try %(day)s."),
    "rehearsal-start": _("First rehearsal by %(day)s."),
    "medical-signoff": _("Sign-off by the medical person by %(day)s."),
    "entry": _("Decide on the entry by %(day)s."),
}
"""One sentence for each kind of deadline."""

ANSWERS = {
    "split": ("look", "taped-try"),
    "tear": ("look", "taped-try"),
    "pink": ("look", "taped-try"),
    "reserve": ("rest-start", "rough-session-last"),
    "dampness": ("agent-start", "rehearsal-start", "agent-first-use"),
    "dryness": ("agent-stop", "soften-start"),
    "glassy": ("even-last", "agent-stop"),
    "shedding": ("even-last",),
    "agent": ("agent-stop", "agent-first-use", "agent-start", "medical-signoff"),
    "toughening": ("toughen-start", "toughen-stop"),
    "load": ("rough-session-last", "rest-start"),
    "layoff": ("rough-session-last",),
    "air": ("rehearsal-start", "agent-start", "agent-first-use"),
    "clash": ("look", "entry"),
}
"""Which deadlines answer a reason, the most telling first; at most two are said."""

AGENT_ANSWERS = {
    "timing": ("agent-first-use",),
    "skin-kind": ("agent-stop", "soften-start"),
    "age": ("medical-signoff",),
}
"""A refused agent is answered by what its refusal asks for, not by the dates of a course that may not be."""

DRIER_AIR_ANSWERS = ("soften-start", "agent-stop")
"""Drier air than at home is no cause to begin with a drying agent."""

TODAY = frozenset({"medical", "silence"})
"""Reasons whose answer is always today's."""

OWN_DATE = frozenset({"deadline", "disagreement"})
"""Reasons that say their own date."""


def action(found: Reason, scene: Scene) -> Sentence:
    """What to do and by when; a dated reason without a deadline of its own gets "Settle it by"."""
    if scene.out_of_reach and (entry := scene.next_of("entry")):
        return sentence(gettext("Name the stand-in by %(day)s."), day=bold(when_due(entry, scene.as_of)))
    steps = _steps(found, scene)
    if steps:
        return _all(steps, scene.as_of)
    if found.date is None:
        return Sentence("")
    if found.date <= scene.as_of:
        return sentence(gettext("Decide %(day)s."), day=bold(gettext("today")))
    return sentence(gettext("Settle it by %(day)s."), day=bold(day(found.date, scene.as_of)))


def _steps(found: Reason, scene: Scene) -> list[Deadline]:
    """At most two undone deadlines that answer the reason, the earlier first."""
    kinds = ANSWERS.get(found.code, ())
    if found.code == "agent":
        kinds = AGENT_ANSWERS.get(str(found.numbers.get("class")), kinds)
    gap = found.numbers.get("dew_point_difference_c")
    if found.code == "air" and isinstance(gap, int | float) and gap < 0:
        kinds = DRIER_AIR_ANSWERS
    steps = [step for kind in kinds if (step := scene.next_of(kind, found.site)) is not None]
    return sorted(steps[:2], key=lambda step: step.latest)


def acts_on(found: Reason, entry: EntryShown, as_of: date) -> date | None:
    """The date that `action` sets in bold, for the wedge on the axis."""
    if found.code in TODAY:
        return as_of
    if found.code in OWN_DATE:
        return found.date
    scene = Scene(as_of, entry)
    if scene.out_of_reach and (close := scene.next_of("entry")):
        return close.latest
    return next((step.latest for step in _steps(found, scene)), found.date)


def _all(steps: list[Deadline], as_of: date) -> Sentence:
    """Only the first date is bold: one sentence, one date to act on."""
    first = DO[steps[0].kind] % {"day": bold(when_due(steps[0], as_of))}
    rest = [DO[step.kind] % {"day": when_due(step, as_of)} for step in steps[1:]]
    return Sentence(" ".join([str(first), *map(str, rest)]))


def when_due(deadline: Deadline, as_of: date) -> str:
    """ "Mon 15", or "Thu 18, 18:00" where an instant is set."""
    return moment(deadline.at, as_of, deadline.zone or "") if deadline.at else day(deadline.latest, as_of)

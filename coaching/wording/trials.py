"""Trials in words: what is asked, what it can show, and what today's arm is. What came of it: `trial_results`."""

from __future__ import annotations

from datetime import date

from django.utils.formats import number_format
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from athletes.records.queries_trials import TrialRow
from coaching.rules.trial_questions import Ask
from coaching.rules.trial_start import Stop
from coaching.usecases.trial_arm import Arm
from coaching.usecases.trial_set_up import Proposal
from coaching.wording import care, dates
from coaching.wording.sentences import capital

OUTCOMES = {
    "dampness": _("how damp the fingers are in the morning, 0 to 10"),
    "sting": _("how sore the tips are in the morning, 0 to 10"),
    "limited": _("in how many sessions skin was the limit"),
    "loss": _("how much reserve a session costs"),
}
SHORT = {
    "dampness": _("dampness"), "sting": _("sting"), "limited": _("sessions limited by skin"),
    "loss": _("reserve lost for the same load"),
}  # fmt: skip
STOPS = {
    "medical": _("A doctor has to say first whether this is all right for you."),
    "allergy": _("Your record names an allergy or an earlier reaction to it. It is not tried again without a doctor."),
    "age": _("At your age it needs the sign-off of a guardian and of a medical person first."),
    "open-skin": _("Skin is open, thin or pink. It is not put on before that is over."),
    "skin-kind": _("Your skin is dry or glassy already; drying it further does harm."),
    "running": _("Another trial is running. One change at a time, or nobody knows which it was."),
    "second-agent": _("Another drying agent is still in your skin. Wait three weeks, one change at a time."),
    "patch-missing": _("Try a small spot on the inner forearm first, and look at it for two days."),
    "patch-waiting": _("The small spot has to be looked at two days after it was put on."),
    "patch-reacted": _("The small spot reacted. It is not tried on the fingers; ask a doctor or pharmacist."),
}
NOT_TODAY = {
    "medical": _("a doctor has to look first"),
    "allergy": _("your record names an allergy or a reaction"),
    "age": _("a sign-off is missing or over"),
    "open-skin": _("skin is open, thin or pink"),
    "skin-kind": _("skin is dry or glassy"),
    "timing": _("an event is too near"),
    "event": _("an event is too near"),
    "clash": _("something else is planned that does not go with it"),
    "site": _("it does not belong there"),
}


def amount(value: float, outcome: str) -> str:
    """A size in the outcome's own unit: "1.5 points", "20 sessions in 100"."""
    if outcome == "limited":
        return gettext("%(n)d sessions in 100") % {"n": round(100 * abs(value))}
    points = number_format(round(abs(value), 1), 1)
    if outcome == "loss":
        return gettext("%(n)s points of reserve for an hour of middling effort") % {"n": points}
    return gettext("%(n)s points") % {"n": points}


def question(form: str, strength: str | None, outcome: str, lower: bool) -> str:
    """ "Does aluminium salt lower dampness?" """
    named = care.form(form) if not strength else f"{care.form(form)} ({care.STRENGTHS.get(strength, strength)})"
    said = gettext("Does %(what)s lower %(outcome)s?") if lower else gettext("Does %(what)s raise %(outcome)s?")
    return said % {"what": named, "outcome": SHORT[outcome]}


def question_of(row: TrialRow) -> str:
    return question(row.form, row.strength, row.outcome, row.lower_is_better)


def span(row: TrialRow) -> str:
    """ "Tue 15 Sep to Tue 3 Nov 2026": a trial takes months, so each day has its own."""
    last = row.ended_on or row.last_day
    ends = {"first": dates.event_day(row.first_day), "last": f"{dates.event_day(last)} {last.year}"}
    if row.first_day.year != last.year:
        ends["first"] += f" {row.first_day.year}"
    return gettext("%(first)s to %(last)s") % ends


def stop(found: Stop, as_of: date) -> str:
    if found.code == "event" and found.day:
        said = gettext("An event or days away are too near. It may begin on %(day)s.")
        return said % {"day": dates.weekday(found.day, as_of)}
    return str(STOPS[found.code])


def length(found: Proposal) -> list[str]:
    """How long it takes and how it goes, before anybody has begun."""
    if found.blocks is None or found.last_day is None:
        return [gettext("It does not fit between your events within a year.")]
    ask, weeks = found.ask, round(found.blocks.days / 7)
    values = {"pairs": ask.pairs, "block": found.blocks.length, "skip": found.skip, "read": found.read}
    if ask.hands:
        said = [gettext("%(pairs)d blocks of %(block)d days. In each, one hand gets it and the other does not; chance "
                        "says which.") % values]  # fmt: skip
    else:
        said = [gettext("%(pairs)d pairs of blocks of %(block)d days. In each pair one block is with it and one "
                        "without; chance says which comes first.") % values]  # fmt: skip
    said.append(gettext("The first %(skip)d days of a block are not counted: it comes on or wears off. The next "
                        "%(read)d mornings are.") % values)  # fmt: skip
    end = dates.long_day(found.last_day)
    weeks_said = ngettext("%(n)d week", "%(n)d weeks", weeks) % {"n": weeks}
    said.append(gettext("%(weeks)s in all, to %(day)s.") % {"weeks": weeks_said, "day": end})
    if found.blocks.days > found.blocks.length * len(found.blocks.starts) + 1:
        said.append(gettext("Pairs that would meet an event come after it."))
    return said


def can_show(found: Proposal) -> list[str]:
    """Power, said beforehand."""
    if found.blocks is None:
        return []
    outcome = found.ask.outcome
    said = [gettext("Six pairs at the least: with fewer, chance alone can do what you see.")]
    if found.shows is None:
        said.append(gettext("From what your answers scatter, it will hardly show anything. More pairs, or one hand "
                            "against the other, show more."))  # fmt: skip
    else:
        said.append(gettext("Four such trials in five show an effect of about %(n)s; a smaller one may stay hidden.")
                    % {"n": amount(found.shows, outcome)})  # fmt: skip
    if found.shows_with_more:
        pairs, least = found.shows_with_more
        said.append(gettext("%(pairs)d pairs would show about %(n)s.") % {"pairs": pairs, "n": amount(least, outcome)})
    chance = max(5, min(95, 5 * round(20 * found.chance_of_worth)))
    said.append(gettext("An effect of %(n)s, the least that would be worth it, shows in about %(p)d of 100.")
                % {"n": amount(found.worth, outcome), "p": chance})  # fmt: skip
    return said


def arm(row: TrialRow, found: Arm) -> str:
    """What the day asks, in one sentence."""
    what = care.form(row.form)
    if found.not_today:
        why = NOT_TODAY.get(found.not_today[0], found.not_today[0])
        return gettext("Not today: %(why)s. Leave it out; that is part of the trial.") % {"why": why}
    if found.block is None:
        return gettext("Between blocks: nothing to use.")
    if row.hidden:
        if found.bottle is None:
            return gettext("Nothing to use today.")
        return gettext("Use bottle %(n)d this evening.") % {"n": found.bottle}
    if found.use is None or not any(found.use):
        return gettext("Without %(what)s today.") % {"what": what}
    if row.hands:
        hand = gettext("left") if found.use[0] else gettext("right")
        return gettext("%(what)s on the %(hand)s hand only.") % {"what": capital(what), "hand": hand}
    return gettext("With %(what)s today.") % {"what": what}


def place(row: TrialRow, found: Arm, blocks: int) -> str:
    """ "Block 3 of 12. This morning counts." """
    if found.block is None:
        return ""
    said = gettext("Block %(n)d of %(all)d.") % {"n": found.block + 1, "all": blocks}
    return f"{said} {gettext('This morning counts.')}" if found.read else said


def told(found: Arm, row: TrialRow) -> str:
    """What was told of a day, or that nothing was."""
    said = []
    if found.told.taken is not None:
        said.append(gettext("used") if found.told.taken else gettext("not used"))
    if row.hands and found.told.left is not None and found.told.right is not None:
        said.append(gettext("left %(left)d, right %(right)d") % {"left": found.told.left, "right": found.told.right})
    return ", ".join(said) or gettext("nothing told")


def ask_kinds(ask: Ask) -> str:
    if ask.hands:
        return gettext("one hand against the other")
    return gettext("hidden, from numbered bottles") if ask.hidden else gettext("block after block")

"""A plan, a change of it and a decision in words."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext, ngettext, pgettext_lazy
from django.utils.translation import gettext_lazy as _

from coaching.usecases.planned import PlanEntry, Planned, PlanStep
from coaching.usecases.waiting import Waiting
from coaching.wording import care, dates, deadlines, numbers
from coaching.wording.sentences import capital

NONE = {
    "medical": _("A doctor first: no plan is made while a medical stop is in force."),
    "no-event": _("No event lies near enough ahead to plan for."),
    "nothing-allowed": _("The rulebook allows nothing on the days that are left."),
    "nothing-better": _("Nothing that may be done would change the chance enough to be worth asking for."),
}
ANSWERS = {
    "accept": pgettext_lazy("answer", "accept"),
    "change": pgettext_lazy("answer", "change"),
    "decline": pgettext_lazy("answer", "decline"),
}
PARTS = {"morning": _("in the morning"), "day": _("by day"), "evening": _("in the evening"), "night": _("at night")}
FIELDS = {
    "why": _("The reason"),
    "plan": _("The plan"),
    "keep": _("What is kept"),
    "answer": _("The answer"),
    "day": _("The day"),
    "form": _("The agent"),
    "event_id": _("The event"),
    "episode_id": _("The damage"),
    "late_days": _("The number of days"),
    "kind": _("The change"),
    "site": _("The site"),
}
CLEAR_GAIN = 0.005
"""An effect below half a point in a hundred is not told as one."""
SHORTER = _("rest: shorter session, half the minutes and hard tries")


def what(step: PlanStep) -> str:
    """ "dry: methenamine spray, weak", "rest: shorter session, half the minutes and hard tries"."""
    if step.kind == "half":
        return str(SHORTER)
    said = care.care(step.verb, step.form)
    return f"{said}, {care.STRENGTHS[step.strength]}" if step.strength else said


def days(step: PlanStep, as_of: date) -> str:
    """Every day by itself up to four, else from the first to the last with their number."""
    if len(step.days) <= 4:
        return ", ".join(dates.weekday(day, as_of) for day in step.days)
    return dates.days_list(step.days, as_of)


def effect(step: PlanStep, count: int) -> str:
    """Rank and range, never a bare number: "1st of 3: without it the chance is 8 to 15 in 100 lower"."""
    if step.gain < CLEAR_GAIN and step.kind != "care":
        return gettext("No clear effect by itself.")
    if step.gain < CLEAR_GAIN:
        return gettext("No clear effect by itself; the rulebook asks for it beside the other steps.")
    low, high = max(0, round(step.low * 100)), max(1, round(step.high * 100))
    words = gettext("Rank %(rank)d of %(count)d: without it the chance is lower by about %(low)d to %(high)d in 100.")
    return words % {"rank": step.rank, "count": count, "low": low, "high": high}


def why(step: PlanStep) -> str:
    """The rule by name."""
    return gettext("rule %(rule)s") % {"rule": step.rule}


OWN_TRIAL = {
    "works": _("It worked in a trial of their own, read on %(day)s: preferred where others do the same."),
    "reopened": _("Their own trials of it disagree, the last read on %(day)s: the question is open again."),
    "does-not": _("%(form)s: did not work in a trial of their own, read on %(day)s, and is not offered."),
}


def own_trial(step: PlanStep) -> str:
    """What the athlete's own trials say of the form of a step; empty where nothing."""
    said = step.own_trial
    return str(OWN_TRIAL[said.code]) % {"day": dates.long_day(said.day)} if said and said.code != "does-not" else ""


def left_out(plan: Planned) -> list[str]:
    """Agents that are not offered because they did nothing for this athlete."""
    return [
        str(OWN_TRIAL["does-not"]) % {"form": capital(care.form(form)), "day": dates.long_day(word.day)}
        for form, word in plan.left_out
    ]


def before_after(entry: PlanEntry) -> tuple[str, str]:
    """Chance before and after, each with its range, in 100."""
    return (
        _chance(entry.p_before, entry.low_before, entry.high_before),
        _chance(entry.p, entry.low, entry.high),
    )


def gain(entry: PlanEntry) -> str:
    """ "about 8 to 20 in 100 more", or that nothing changes."""
    if abs(entry.gain) < CLEAR_GAIN:
        return gettext("no clear change")
    low, high = round(entry.gain_low * 100), round(entry.gain_high * 100)
    return gettext("change of %(low)s to %(high)s in 100") % {
        "low": numbers.change(low / 100),
        "high": numbers.change(high / 100),
    }


def none(plan: Planned) -> str:
    """Why there is no step."""
    return str(NONE[plan.why_none]) if plan.why_none else ""


def compared(plan: Planned) -> str:
    """How the plan was found."""
    words = ngettext(
        "The best of %(n)d plan counted by the whole model.",
        "The best of %(n)d plans counted by the whole model.",
        plan.compared,
    )
    return words % {"n": plan.compared}


def practice(plan: Planned) -> str:
    """What is counted on: the share of planned care that this athlete does."""
    if not plan.share:
        return ""
    least = min(plan.share.values())
    return gettext("Counted with what is done in practice: at the least %(n)d of 10 planned evenings.") % {
        "n": round(least * 10)
    }


def asks(plan: Planned) -> str:
    """The cost of a plan: "asks for 9 evenings of care, 2 days of rest, 1 shorter session"."""
    evenings = len({(a.day, a.form) for a in plan.actions if a.kind == "care"})
    rests = sum(a.kind == "rest" for a in plan.actions)
    halves = sum(a.kind == "half" for a in plan.actions)
    said = []
    if evenings:
        said.append(ngettext("%(n)d time of care", "%(n)d times of care", evenings) % {"n": evenings})
    if rests:
        said.append(ngettext("%(n)d day of rest", "%(n)d days of rest", rests) % {"n": rests})
    if halves:
        said.append(ngettext("%(n)d shorter session", "%(n)d shorter sessions", halves) % {"n": halves})
    return gettext("Asks for %(what)s.") % {"what": ", ".join(said)} if said else ""


def decision(one: Waiting) -> str:
    """What is to be decided."""
    if one.deadline is None:
        return gettext("take up the plan for %(event)s") % {"event": one.entry.event.name}
    return gettext("%(what)s, for %(event)s") % {
        "what": deadlines.what(one.deadline),
        "event": one.entry.event.name,
    }


def by(one: Waiting) -> str:
    """ "by Thu 18"."""
    if one.deadline is not None:
        return deadlines.by_when(one.deadline, one.athlete.as_of).replace("/", "/\u200b")
    return dates.day(one.by, one.athlete.as_of)


def cost(one: Waiting) -> list[tuple[str, str]]:
    """(answer, what it costs) of the three answers."""
    if one.deadline is None:
        take = gettext("the days of rest and care that the plan names; it stands in today's list at once")
        change = gettext("only the steps that you keep; each is asked of the rulebook again")
    else:
        spare = deadlines.days_to_spare(one.deadline)
        take = gettext("it is done by then: %(spare)s") % {"spare": spare}
        change = gettext("done in another way or on another day, which you name")
    left = gettext("it is left; not asked again until the facts behind it move")
    return [(str(ANSWERS["accept"]), take), (str(ANSWERS["change"]), change), (str(ANSWERS["decline"]), left)]


def _chance(p: float, low: float, high: float) -> str:
    return gettext("%(n)s in 100, range %(range)s") % {
        "n": numbers.in_100(p, numbers.rounding(low, high)),
        "range": numbers.chance_range(low, high),
    }


def part(step: PlanStep) -> str:
    """When in the day."""
    return str(PARTS[step.part])

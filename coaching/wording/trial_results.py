"""What came of a trial in words: works for me, does not, or cannot be told yet, and then what would tell."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import isnan

from django.utils.formats import number_format
from django.utils.translation import gettext, ngettext, pgettext_lazy
from django.utils.translation import gettext_lazy as _

from athletes.records.queries_trials import TrialRow
from coaching.rules.trial_standing import OwnWord
from coaching.science import versions
from coaching.usecases.trial_history import Hint
from coaching.wording import care, dates
from coaching.wording.sentences import capital, series
from coaching.wording.trials import SHORT, amount, question_of, span

VERDICTS = {
    "works": _("works for me"),
    "does-not": _("does not work for me"),
    "worse": _("does the opposite for me"),
    "cannot-tell": _("cannot tell yet"),
    "reaction": _("ended by a reaction"),
    "reopened": _("open again: two trials disagree"),
}


OF_ANOTHER = {
    **VERDICTS, "works": _("works for them"), "does-not": _("does not work for them"),
    "worse": _("does the opposite for them"),
}  # fmt: skip


def verdict(row: TrialRow, own: bool = True) -> str:
    return str((VERDICTS if own else OF_ANOTHER)[row.verdict])


def effect(row: TrialRow) -> str:
    """The effect with its interval, where there is one."""
    found, outcome = row.result, row.outcome
    if found.get("effect") is None:
        return ""
    values = {"what": SHORT[outcome], "n": amount(found["effect"], outcome)}
    lower = gettext("With it, %(what)s was lower by %(n)s.")
    said = (lower if found["effect"] < 0 else gettext("With it, %(what)s was higher by %(n)s.")) % values
    if found.get("low") is None or found.get("high") is None:
        return said
    ends = {
        "low": _signed(found["low"], outcome), "high": _signed(found["high"], outcome),
        "level": round(100 * found["level"]),
    }  # fmt: skip
    return f"{said} " + gettext("It may lie anywhere from %(low)s to %(high)s (%(level)d in 100).") % ends


def _signed(value: float, outcome: str) -> str:
    size = amount(value, outcome)
    if round(abs(value), 1) == 0:
        return size
    return gettext("%(n)s lower") % {"n": size} if value < 0 else gettext("%(n)s higher") % {"n": size}


def why(row: TrialRow) -> list[str]:
    """What the word rests on, or why there is none yet and what would tell."""
    found, pairs = row.result, int(row.result.get("pairs") or 0)
    whole = ngettext("%(n)d whole pair.", "%(n)d whole pairs.", pairs) % {"n": pairs}
    said = [whole]
    if found.get("p") is not None and pairs >= 6:
        chance = number_format(round(100 * found["p"], 1), 1)
        by_chance = gettext("If it did nothing, chance alone would show as much in %(p)s of 100 draws.")
        said.append(by_chance % {"p": chance})
    cause, more = found.get("cause"), found.get("more")
    if cause == "pairs":
        said.append(ngettext("%(n)d more pair would make a word possible; six is the least.",
                             "%(n)d more pairs would make a word possible; six is the least.", more) % {"n": more})
    elif cause == "doses":
        said.append(gettext("It was used too seldom to compare. Another try with fewer misses would tell."))
    elif cause == "contrast":
        said.append(gettext("The blocks were too alike: what was left from before. Longer blocks would tell."))
    elif cause == "scatter" and more:
        told = ngettext("About %(n)d pair more would tell.", "About %(n)d pairs more would tell.", more)
        said.append(told % {"n": more})
    elif cause == "scatter":
        said.append(gettext("Days scatter too much for this question. One hand against the other, or another outcome, "
                            "may tell."))  # fmt: skip
    return said


def checks(row: TrialRow) -> list[tuple[str, str]]:
    """Adherence, carry-over, order and the draw towards others."""
    found = row.result
    said = []
    if found.get("taken_frac") is not None:
        values = {"n": round(100 * found["taken_frac"]), "told": round(100 * found["told_frac"])}
        kept = gettext("%(n)d of 100 times it was due, told of on %(told)d of 100 days")
        said.append((gettext("used"), kept % values))
    if found.get("lingering") is not None:
        left = gettext("%(n)d in 100 of it was still there in the blocks without it")
        said.append((gettext("left over"), left % {"n": max(0, round(100 * found["lingering"]))}))
    if found.get("order_p") is not None and found.get("order_gap") is not None:
        mattered = found["order_p"] <= 0.1
        told = gettext("it mattered which came first") if mattered else gettext("no sign that it mattered")
        said.append((gettext("order"), told))
    if found.get("mean") is not None:
        both = gettext("with what is known of others: %(n)s, give or take %(sd)s")
        values = {"n": _signed(found["mean"], row.outcome), "sd": amount(1.3 * found["sd"], row.outcome)}
        said.append((gettext("drawn together"), both % values))
    return said


def counted(row: TrialRow) -> str:
    """How the result reaches the athlete's forecasts and plans: by its weight from its day on, or not a second time."""
    told = row.result.get("evidence")
    if told and row.ended_on:
        spread = versions.get(versions.CURRENT).parameters.spread("agent_effect_pt")
        weight = spread**2 / (spread**2 + told["sd_pt"] ** 2)
        said = gettext(
            "Your forecasts go by it from %(day)s on. It alone makes up %(n)d in 100 of what they hold of its full "
            "effect on you, beside what is published; mornings to come are weighed with it."
        )
        return said % {"day": dates.long_day(row.ended_on), "n": 5 * round(20 * weight)}
    if row.verb == "dry":
        return gettext(
            "Your forecasts have read its mornings and uses day by day as they came, so the result is not counted a "
            "second time. Plans go by it."
        )
    return gettext(
        "Forecasts know of no effect of such care on one person alone, so no chance changes by it. Plans go by it."
    )


def lines(rows: Iterable[TrialRow]) -> list[tuple[str, str, str]]:
    """(question, days, result) of another's trials; nothing of a result before the trial is over."""
    return [
        (question_of(row), span(row), verdict(row, own=False) if row.ended_on else gettext("running"))
        for row in rows
    ]  # fmt: skip


IN_SHORT = {
    "works": pgettext_lazy("result of a trial", "%(form)s works"),
    "does-not": pgettext_lazy("result of a trial", "%(form)s does not"),
    "reopened": pgettext_lazy("result of a trial", "%(form)s open again"),
}


def own_words(words: Mapping[str, OwnWord]) -> str:
    """For a paper: "own trials: aluminium salt works, methenamine spray does not"; empty for none."""
    said = [str(IN_SHORT[word.code]) % {"form": care.form(form)} for form, word in sorted(words.items())]
    return gettext("own trials: %(results)s") % {"results": ", ".join(said)} if said else ""


def stands(found: Iterable[tuple[tuple[str, str], str]], own: bool = True) -> list[str]:
    words = VERDICTS if own else OF_ANOTHER
    return [
        gettext("%(form)s, %(outcome)s: %(verdict)s")
        % {"form": capital(care.form(form)), "outcome": SHORT[outcome], "verdict": words[code]}
        for (form, outcome), code in found
    ]


def hint(found: Hint) -> list[str]:
    """What simply having used it shows, and what else was different: never a word on whether it works."""
    seen, values = found.found, {"form": capital(care.form(found.form)), "outcome": SHORT[found.outcome]}
    uses = ngettext("used on %(n)d day", "used on %(n)d days", found.uses) % {"n": found.uses}
    if not seen.any or isnan(seen.gap):
        none = gettext("%(form)s, %(uses)s: too few mornings with and without it to compare.")
        return [none % {**values, "uses": uses}]
    with_it = gettext("on %(a)d mornings with it, %(outcome)s was %(gap)s than on %(b)d without.")
    lower = gettext("lower by %(n)s") if seen.gap < 0 else gettext("higher by %(n)s")
    gap = lower % {"n": amount(seen.gap, found.outcome)}
    told = with_it % {**values, "a": seen.days_with, "b": seen.days_without, "gap": gap}
    said = [f"{values['form']}, {uses}: {told}", gettext("That is a hint, no result. Nobody drew lots, and:")]
    begun = ngettext("it was begun %(n)d time, when you chose", "it was begun %(n)d times, when you chose", seen.runs)
    other = [begun % {"n": seen.runs}]
    if not isnan(seen.level_before) and abs(seen.level_before) >= 0.5:
        worse = gettext("in weeks in which %(outcome)s was unusual by %(n)s, and such weeks pass by themselves")
        other.append(worse % {**values, "n": amount(seen.level_before, found.outcome)})
    if not isnan(seen.load_gap_slu) and abs(seen.load_gap_slu) >= 0.2:
        other.append(gettext("you climbed less then") if seen.load_gap_slu < 0 else gettext("you climbed more then"))
    if not isnan(seen.temp_gap_c) and abs(seen.temp_gap_c) >= 2:
        other.append(gettext("it was colder then") if seen.temp_gap_c < 0 else gettext("it was warmer then"))
    if found.other_forms:
        forms = series(care.form(one) for one in found.other_forms)
        other.append(gettext("you also used %(forms)s") % {"forms": forms})
    return [*said, *(f"{capital(one)}." for one in other)]

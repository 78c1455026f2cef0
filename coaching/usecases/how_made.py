"""How an athlete's number was made: what was read, by which quantities, and which change of plan would move it most.

Computed when asked, for one athlete, on the evening that the number stands for.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from athletes.records import access, histories
from athletes.records.viewer import Viewer
from coaching.rules import refusals
from coaching.rules.case import Case
from coaching.rules.facts import AthleteFacts, EntryFact
from coaching.rules.trial_standing import own_words
from coaching.rules.trial_verdict import NOT
from coaching.science import versions
from coaching.science.helping import OPTIONS, SAND_DAYS_BEFORE
from coaching.science.inputs import Bools
from coaching.science.making import made
from coaching.science.model import Model
from coaching.usecases import conclude, figuring, learned, rulebooks
from coaching.usecases.following import follow
from coaching.usecases.keeping import STOPPED
from coaching.usecases.showing import show
from coaching.usecases.shown_made import Helped, InputShown, MadeShown

FORMS = {"agent-on": "methenamine spray", "soften": "humectant cream"}
ALWAYS = ("half-load", "rest-last-days", "agent-off")
"""Less load and no agent need no leave: nothing is put on the skin."""


def how_made(viewer: Viewer, code: str) -> MadeShown:
    """Raises NotFound for a stranger's, a hidden and a nonexistent athlete alike."""
    ref = access.athlete_by_code(viewer, code, "level")
    row = show(viewer, [ref], course=False)[0]
    entry = row.next_entry
    shared, stopped = "checkins" in ref.shared, row.medical in STOPPED
    said = entry is not None and not stopped
    found = MadeShown(
        code=row.code,
        name=row.name,
        as_of=row.as_of,
        model=row.model or versions.CURRENT,
        rulebook=row.rulebook,
        shared=shared,
        stopped=stopped,
        event_name=entry.event.name if entry else None,
        p=entry.p if entry is not None and said else None,
        low=entry.low if entry is not None and said else None,
        high=entry.high if entry is not None and said else None,
    )
    if not shared or row.computed_at is None:
        return found
    return _with_reasons(found, ref.id, "damage" in ref.shared, entry.event.code if entry and said else None)


def _with_reasons(found: MadeShown, athlete_id: int, damage: bool, event: str | None) -> MadeShown:
    version = versions.get(found.model if found.model in versions.VERSIONS else versions.CURRENT)
    fit = learned.of_athletes([athlete_id], version.version).get(athlete_id)
    model = learned.applied(version, fit)
    facts = histories.facts([athlete_id], found.as_of)[athlete_id]
    helped, clear = _helped(facts, athlete_id, found.as_of, model, event) if event else ((), False)
    inputs = tuple(one for one in _inputs(facts, found.as_of) if damage or one.code != "damage")
    values = vars(found) | {
        "inputs": inputs, "helped": helped, "clear": clear,
        "quantities": made(model.parameters, version.parameters),
        "fitted_on": fit.fitted_on if fit else None, "provisional": fit is None or fit.provisional,
        "answers": fit.answers if fit else 0,
    }  # fmt: skip
    return MadeShown(**values)


def _inputs(facts: AthleteFacts, as_of: date) -> Iterator[InputShown]:
    """Facts by kind, those of the days that the models read."""
    done = [s for s in facts.sessions if not s.planned]
    kinds: dict[str, Iterable[date]] = {
        "checkins": (c.day for c in facts.checkins if c.says_skin),
        "answers": (s.day for s in done if s.skin_limited is not None),
        "sessions": (s.day for s in done),
        "planned": (s.day for s in facts.sessions if s.planned and s.day > as_of),
        "care": (c.day for c in facts.care if c.status == "done"),
        "care-planned": (c.day for c in facts.care if c.status == "planned" and c.day > as_of),
        "damage": (max([e.noticed_on, *(look.day for look in e.looks)]) for e in facts.episodes),
        "air": {s.day for s in done if s.air_temp_c is not None},
    }
    for code, days in kinds.items():
        known = list(days)
        yield InputShown(code, len(known), max(known, default=None))
    if counted := [one.day for one in facts.tried if one.effect_pt is not None]:
        yield InputShown("trials", len(counted), max(counted))


def _helped(
    facts: AthleteFacts, athlete_id: int, as_of: date, model: Model, event: str
) -> tuple[tuple[Helped, ...], bool]:
    """Options ranked; only what the rules allow this athlete, and only for the nearest event."""
    near = tuple(e for e in facts.entries if (e.last_day - as_of).days <= conclude.FURTHEST_DAYS)
    entry = next((e for e in near if e.event_id == event), None)
    if entry is None or entry.first_day <= as_of:
        return (), False
    facts = replace(facts, entries=near)
    (group,) = follow({athlete_id: facts}, as_of, model, conclude.AHEAD_DAYS)
    ((numbers, _),) = figuring.figures_of(group, conclude.AHEAD_DAYS)
    case = Case(facts, numbers, as_of, rulebooks.books_for([athlete_id], as_of)[athlete_id])
    at, entries = group.made.event_ids.index(event), len(group.made.event_ids)
    may = {option: _only(at, entries) for option in OPTIONS if _allowed(case, option, entry)}
    course, episodes, targets = group.made.course, group.made.episodes, group.made.targets
    told = model.helping(course, episodes, targets, may, state=group.state)
    ranked = sorted((int(told.rank[k, at]), k) for k in range(len(OPTIONS)) if told.rank[k, at])
    helped = tuple(
        Helped(OPTIONS[k], rank, float(told.low[k, at]), float(told.high[k, at]))
        for rank, k in ranked
        if told.gain[k, at] > 0
    )
    return helped, bool(told.clear[at])


def _only(at: int, entries: int) -> Bools:
    return np.arange(entries) == at


def _allowed(case: Case, option: str, entry: EntryFact) -> bool:
    """Whether rulebook and label let the option be taken on each of its days."""
    if option in ALWAYS:
        return True
    word = own_words(case.facts.tried).get(FORMS.get(option, ""))
    if word and word.code == NOT:  # it did nothing for this athlete in a trial of their own
        return False
    tomorrow = case.as_of + timedelta(days=1)
    if option == "sand":
        day = max(entry.first_day - timedelta(days=SAND_DAYS_BEFORE), tomorrow)
        return day < entry.first_day and refusals.allowed_now(case, "sand", (), day)
    days = ((tomorrow + timedelta(days=n)) for n in range((entry.first_day - tomorrow).days))
    return all(refusals.allowed_now(case, FORMS[option], (), day) for day in days)

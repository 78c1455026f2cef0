"""Cut conclusions to the classes of data that are shared with the viewer. What is not shared leaves no trace.

`level` covers what the list is for: level, readiness with its range, the medical grade, today's verdict, how far the
facts reach, and the days on which entries close. `checkins` covers answers, sessions and care, and what follows from
them; `damage` every site, episode and look. What rests on two classes needs both.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from athletes.records import choices
from athletes.records.viewer import Viewer
from coaching.rules.conclusions import Deadline, Fallback, Number, Reason, Refusal, Today
from coaching.usecases.shown import AthleteShown, CareRun, EntryShown, PictureShown

Classes = frozenset[str]

DAMAGE_REASONS = frozenset({"split", "tear"})
LEVEL_REASONS = frozenset({"medical", "silence", "clash"})
DAMAGE_DEADLINES = frozenset({"look", "taped-try"})
LEVEL_DEADLINES = frozenset({"entry", "medical-signoff"})
ANSWERED = {"medical": ("flags", "first_flag"), "split": ("pain", "pain_limit"), "tear": ("pain", "pain_limit")}
"""Numbers of a reason that repeat answers, or may: they need check-ins whatever the class of the reason."""
DAMAGE_FALLBACKS = {"protect": frozenset({"damage", "checkins"}), "later-arrival": frozenset({"damage"})}
DAMAGE_CARE = frozenset({"mend", "cover", "rest", "try"})
DAMAGE_FORMS = frozenset(form for verb in DAMAGE_CARE for form in choices.FORMS[verb])
"""Verbs of care, and their forms, that one plans because of damage, and that would tell of it."""
CLOSED_CLASSES = frozenset({"allergy", "medical"})
"""Refusals whose cause is for the athlete, the guardian and the medical role only."""
DAMAGE_CLASSES = frozenset({"open-skin", "site"})
"""Refusals whose cause is damage."""


SPARED = frozenset({"not-those-holds", "protected"})
"""Verdicts that tell apart how bad damage is; one word for both where neither answers nor damage are shared."""


@dataclass(frozen=True)
class TodayWithheld(Today):
    """The verdict for whoever is told neither answers nor damage: a reason to ask, nothing of what lies behind."""


def reason_class(code: str) -> str:
    """The class of data that a reason of this code lets on; not for `deadline`, whose class is that of its kind."""
    if code in LEVEL_REASONS:
        return "level"
    return "damage" if code in DAMAGE_REASONS else "checkins"


def deadline_class(kind: str) -> str:
    """The class of data that a deadline of this kind lets on."""
    if kind in LEVEL_DEADLINES:
        return "level"
    return "damage" if kind in DAMAGE_DEADLINES else "checkins"


def cut(shown: AthleteShown, viewer: Viewer, athlete_id: int) -> AthleteShown:
    """The part of `shown` that its `shared` classes allow this viewer."""
    return cut_for(shown, athlete_id in causes_open_to(viewer))


class Everybody(frozenset[int]):
    """Stands for the keys of all athletes there are."""

    def __contains__(self, key: object) -> bool:
        return True


def causes_open_to(viewer: Viewer) -> frozenset[int]:
    """Keys of the athletes of whom the viewer may be told why care is refused."""
    if viewer.operator or "medical" in viewer.roles():
        return Everybody()
    own = (g.athlete_id for g in viewer.grants if g.role in ("athlete", "guardian"))
    return frozenset(key for key in own if key is not None)


def cut_for(shown: AthleteShown, causes_open: bool) -> AthleteShown:
    """`cut`, for whom it is known whether the closed causes are open to them."""
    shared = shown.shared
    both = {"damage", "checkins"} <= shared
    closed = frozenset() if causes_open else CLOSED_CLASSES
    closed |= frozenset() if "damage" in shared else DAMAGE_CLASSES
    return replace(
        shown,
        today=_today(shown.today, shared),
        entries=tuple(_entry(entry, shared, closed) for entry in shown.entries),
        limits=shown.limits if both else (),
        steps=shown.steps if both else (),
        refused=tuple(_refusals(shown.refused, shared, closed)) if "checkins" in shared else (),
        picture=_picture(shown.picture, shared),
    )


def _today(today: Today, shared: Classes) -> Today:
    """Holds and sites need both classes; without either, anything short of free, medical or not known says "ask"."""
    if {"damage", "checkins"} <= shared:
        return today
    if {"damage", "checkins"} & shared or today.may_climb not in SPARED | {"off"}:
        return Today(today.may_climb)
    return TodayWithheld("protected" if today.may_climb in SPARED else today.may_climb)


def _entry(entry: EntryShown, shared: Classes, closed: Classes) -> EntryShown:
    split_sites = frozenset(d.site for d in entry.deadlines if d.kind == "taped-try")
    return replace(
        entry,
        reasons=tuple(_reason(r, shared, closed) for r in entry.reasons if _reason_seen(r, shared, split_sites)),
        deadlines=tuple(_deadline(d, shared) for d in entry.deadlines if _seen(d.kind, d.site, shared, split_sites)),
        fallbacks=tuple(f for f in entry.fallbacks if _needs(f) <= shared),
        parts=entry.parts if "checkins" in shared else {},
        episode_parts=entry.episode_parts if "damage" in shared else {},
        p_usual=entry.p_usual if "checkins" in shared else None,
    )


def _reason_seen(reason: Reason, shared: Classes, split_sites: frozenset[str | None]) -> bool:
    if reason.code == "deadline":
        return _seen(str(reason.numbers.get("kind")), reason.site, shared, split_sites)
    return reason_class(reason.code) in shared


def _seen(kind: str, site: str | None, shared: Classes, split_sites: frozenset[str | None]) -> bool:
    """A look without a taped try on the same site is for pink tips, which the athlete told in a check-in."""
    if kind == "look" and site not in split_sites and "checkins" not in shared:
        return False
    return deadline_class(kind) in shared


def _needs(fallback: Fallback) -> Classes:
    return DAMAGE_FALLBACKS.get(fallback.code, frozenset())


def _reason(reason: Reason, shared: Classes, closed: Classes) -> Reason:
    """Without damage no site; without check-ins no number that repeats an answer; a closed cause only "medical"."""
    numbers: dict[str, Number] = dict(reason.numbers)
    if "checkins" not in shared:
        numbers = {name: n for name, n in numbers.items() if name not in ANSWERED.get(reason.code, ())}
        if reason.code == "deadline":
            numbers.pop("form", None)
    if numbers.get("class") in closed:
        numbers["class"] = "medical"
    return replace(reason, site=reason.site if "damage" in shared else None, numbers=numbers)


def _deadline(deadline: Deadline, shared: Classes) -> Deadline:
    """Without damage no site and no look to wait for; without check-ins no form, which tells of planned care."""
    if "damage" not in shared:
        deadline = replace(deadline, site=None, if_=None, moved_by=None)
    return deadline if "checkins" in shared else replace(deadline, form=None)


def _refusals(refused: Iterable[Refusal], shared: Classes, closed: Classes) -> Iterator[Refusal]:
    """Without damage no care that one plans because of it, neither as refused nor as what to do instead."""
    for one in refused:
        if "damage" not in shared:
            if one.verb in DAMAGE_CARE:
                continue
            one = replace(one, instead=tuple(form for form in one.instead if form not in DAMAGE_FORMS))
        yield replace(one, class_="medical", rule="") if one.class_ in closed else one


def _picture(picture: PictureShown | None, shared: Classes) -> PictureShown | None:
    if picture is None or {"damage", "checkins"} <= shared:
        return picture
    if "checkins" in shared:
        care = tuple(run for run in picture.care if not _tells_of_damage(run))
        return replace(picture, damage=(), marks=(), care=care)
    if "damage" in shared:
        seen = tuple(mark for mark in picture.marks if mark.by != "athlete")
        return PictureShown(picture.first_day, damage=picture.damage, marks=seen, events=picture.events)
    return PictureShown(picture.first_day, events=picture.events)


def _tells_of_damage(run: CareRun) -> bool:
    return run.verb in DAMAGE_CARE

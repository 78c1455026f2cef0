"""Why a form of care may not be used on this athlete at all: rules that nobody overrules (allergy, age,
medical, open skin).
"""

from __future__ import annotations

from collections.abc import Iterator

from coaching.rules import holds, medical
from coaching.rules.case import Case
from coaching.rules.damage import Damage
from coaching.rules.facts import CareFact
from coaching.rules.rulebook import FormRule

HARD = ("medical", "allergy", "age", "open-skin")
FREE_UNDER_MEDICAL = frozenset({"rest"})
AROUND_DAMAGE = frozenset({"soften", "cover", "rest", "cool"})


def broken(case: Case, row: CareFact, rule: FormRule) -> Iterator[str]:
    """Classes of hard stop that the row meets, in the order of `HARD`."""
    checks = (_medical, _allergy, _age, _open_skin)
    for name, check in zip(HARD, checks, strict=True):
        if check(case, row, rule):
            yield name


def _medical(case: Case, row: CareFact, rule: FormRule) -> bool:
    if case.medical_stop and rule.verb not in FREE_UNDER_MEDICAL:
        return True
    met = case.facts.contraindications.intersection(rule.contraindications)
    if met == {"other"}:  # said to the doctor, not to us: the doctor clears it or it stays shut
        return not case.signed(row.form, "medical", row.day)
    if met:
        return True
    return rule.form == "glue" and any(_worried(case, one) for one in _touched(case, row, rule))


def _allergy(case: Case, row: CareFact, rule: FormRule) -> bool:
    if case.facts.sensitivities.intersection(rule.sensitivities):
        return True
    return reacted(case, row.form)


def reacted(case: Case, form: str) -> bool:
    """The form was stopped because the skin reacted, and no medical person has looked since."""
    stopped = case.stopped.get(form)
    return stopped is not None and not medical.medically_seen(case.facts, stopped, case.as_of)


def _age(case: Case, row: CareFact, rule: FormRule) -> bool:
    """Under the least age: never. A minor, or age not known: guardian and medical sign-off in force."""
    age = case.facts.age_years
    if age is not None and age < rule.minimum_age:
        return True
    if age is not None and age >= rule.signoff_under_age:
        return False
    if not rule.signoff_under_age:
        return False
    return not all(case.signed(row.form, by, row.day) for by in ("guardian", "medical"))


def _open_skin(case: Case, row: CareFact, rule: FormRule) -> bool:
    touched = _touched(case, row, rule)
    if any(one.stage in rule.not_on or ("open" in rule.not_on and one.is_open) for one in touched):
        return True
    if "pink" in rule.not_on and _touches_pink(case, row, rule):
        return True
    if rule.not_deep and any(one.fact.depth != "shallow" for one in touched):  # not said: nobody knows that it is not
        return True
    return _stage_missing(case, row, rule, touched)


def _stage_missing(case: Case, row: CareFact, rule: FormRule, touched: tuple[Damage, ...]) -> bool:
    """Work that needs a look with a finding. A try planned for a later day waits for its look instead."""
    if not rule.needs_stage or (rule.verb == "try" and row.day > case.as_of):
        return False
    return any(one.stage not in rule.needs_stage or one.opens is True for one in touched)


def _touched(case: Case, row: CareFact, rule: FormRule) -> tuple[Damage, ...]:
    """Damage that the care would reach.

    Without a site an agent, a file or a tool may reach all of it, a run on the sides what lies on the sides;
    cream and tape go where the skin is whole.
    """
    if row.sites:
        return tuple(one for one in case.damages if any(holds.near(site, one.site) for site in row.sites))
    if rule.verb in AROUND_DAMAGE:
        return ()
    sides_only = rule.verb == "toughen"
    return tuple(one for one in case.damages if not sides_only or holds.zone_of(one.site) in rule.zones)


def _touches_pink(case: Case, row: CareFact, rule: FormRule) -> bool:
    if case.pink is None:
        return False
    if rule.verb == "toughen" and not row.sites:
        return any(holds.zone_of(site) in rule.zones for site in case.pink.sites)
    return not row.sites or any(holds.near(site, other) for site in row.sites for other in case.pink.sites)


def _worried(case: Case, one: Damage) -> bool:
    return bool(one.fact.worries) and medical.worries_in_force(one.fact, case.facts, case.as_of)

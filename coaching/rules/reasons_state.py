"""Reasons in the skin itself: damage, pink, reserve, dampness, dryness, glassy, shedding."""

from __future__ import annotations

from collections.abc import Iterator

from coaching.rules import skin
from coaching.rules.conclusions import Number, Reason
from coaching.rules.damage import Damage
from coaching.rules.holds import SITE_NOT_KNOWN
from coaching.rules.weighed import BY_EFFECT, GATED, Question, Weighed, frac

COUNTS_FRAC = 0.03
"""Judgement: a part of three in a hundred is the least that is worth a coach's line."""


def state_reasons(q: Question) -> Iterator[Weighed]:
    for damage in q.case.damages_for(q.entry):
        yield _damage(q, damage)
    yield from _pink(q)
    yield from _reserve(q)
    yield from _dampness(q)
    yield from _dryness(q)
    yield from _marked(q, "glassy", q.case.numbers.hardness_mean_pt >= skin.GLASSY_PT)
    yield from _marked(q, "shedding", False)


def _damage(q: Question, damage: Damage) -> Weighed:
    """Date: the next look or taped try on it, else the day it is expected to be sound."""
    effect = q.numbers.episode_parts.get(damage.fact.episode_id, 0.0)
    numbers: dict[str, Number] = {
        "effect": frac(effect),
        "days_since": (q.as_of - damage.fact.noticed_on).days,
        "stage": damage.stage,
        "kind": damage.fact.kind,
        "pain": damage.pain_pt,
        "pain_limit": damage.pain_limit_pt,
        "opens_on_pull": damage.opens,
        "p_usable": frac(damage.p_usable(q.entry.first_day)),
        "p_sound": frac(damage.p_sound(q.entry.first_day)),
    }
    for what in ("closed", "usable", "sound"):
        for point in ("q10_d", "q50_d", "q80_d", "q90_d"):
            day = damage.day_of(what, point)
            numbers[f"{what}_{point[:3]}_on"] = day.isoformat() if day else None
    sound = damage.day_of("sound", "q80_d") or max(q.entry.first_day, q.as_of)
    day = q.next_of("look", "taped-try", site=damage.site) or sound
    reason = Reason(damage.reason_code, damage.site, day, numbers)
    return Weighed(reason, effect, GATED if damage.gated or damage.is_open else BY_EFFECT)


def _pink(q: Question) -> Iterator[Weighed]:
    """Date: the look that decides, or the day it is as before again where that look has passed."""
    pink = q.case.pink
    if pink is None:
        return
    day = q.next_of("look", site=pink.sites[0]) or pink.gone_on
    effect = max(q.part("pink"), q.part("reserve"), q.numbers.p_rest - q.numbers.p)
    for site in pink.sites:
        numbers: dict[str, Number] = {
            "effect": frac(effect),
            "seen_on": pink.seen_on.isoformat(),
            "days_to_event": (q.entry.first_day - q.as_of).days,
            "sites": len(pink.sites),
        }
        yield Weighed(Reason("pink", site, day, numbers), effect)


def _reserve(q: Question) -> Iterator[Weighed]:
    effect, numbers = q.part("reserve"), q.case.numbers
    if effect < COUNTS_FRAC:
        return
    ridged = skin.marked(q.case.facts, "ridge", q.as_of)
    sites = q.case.pink.sites if q.case.pink else tuple(site for site, _ in ridged)
    found: dict[str, Number] = {
        "effect": frac(effect),
        "reserve": round(numbers.reserve_mean_pt, 1),
        "usual": round(numbers.usual_reserve_pt, 1),
        "sd": round(numbers.reserve_sd_pt, 1),
        "p_rest": frac(q.numbers.p_rest),
    }
    site = sites[0] if sites else SITE_NOT_KNOWN
    yield Weighed(Reason("reserve", site, q.act_by("rest-start", "rough-session-last"), found), effect)


def _dampness(q: Question) -> Iterator[Weighed]:
    effect, wet_pt = q.part("dampness"), q.case.numbers.dampness_mean_pt
    if effect < COUNTS_FRAC or wet_pt < skin.DRY_BELOW_PT:
        return
    found: dict[str, Number] = {
        "effect": frac(effect),
        "dampness": round(wet_pt, 1),
        "wet": wet_pt >= skin.DAMP_ABOVE_PT,
    }
    day = q.act_by("agent-first-use", "agent-start", "rehearsal-start")
    yield Weighed(Reason("dampness", None, day, found), effect)


def _dryness(q: Question) -> Iterator[Weighed]:
    dry_pt = q.case.numbers.dampness_mean_pt
    effect = max(q.part("dryness"), q.part("dampness") if dry_pt < skin.DRY_BELOW_PT else 0.0)
    if effect < COUNTS_FRAC:
        return
    found: dict[str, Number] = {"effect": frac(effect), "dampness": round(dry_pt, 1)}
    yield Weighed(Reason("dryness", None, q.act_by("soften-start", "agent-stop"), found), effect)


def _marked(q: Question, mark: str, by_rating: bool) -> Iterator[Weighed]:
    """A mark seen within three days, or the rating alone: then the site is not known."""
    sites = [site for site, _ in skin.marked(q.case.facts, mark, q.as_of)]
    effect = max(0.0, q.part(mark), q.part("hardness") if mark == "glassy" else 0.0)
    if not sites and not by_rating and effect < COUNTS_FRAC:
        return
    found: dict[str, Number] = {
        "effect": frac(effect),
        "sites": len(sites),
        "hardness": round(q.case.numbers.hardness_mean_pt, 1),
    }
    site = sites[0] if sites else SITE_NOT_KNOWN
    yield Weighed(Reason(mark, site, q.act_by("even-last", "agent-stop"), found), effect)

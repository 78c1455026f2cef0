"""The body of a check-in, and what the use-case takes from it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from rest_framework import serializers

from api.v1.fields import Code, Day, Number, Site, StrictSerializer, Text, Truth, Whole, rating
from athletes.records import choices
from athletes.records.errors import BadInput
from coaching.usecases.answers import CheckInAnswers, NewDamage, NewLook

PLAIN = ("rating_step", "reserve", "dampness", "hardness", "sting", "pull_pain", "agent_used", "seconds")


class MarkIn(StrictSerializer):
    site = Site()
    mark = Code(choices.MARKS)


class DamageIn(StrictSerializer):
    site = Site()
    kind = Code(choices.DAMAGE_KINDS)
    depth = Code(choices.DEPTHS, required=False, allow_null=True)


class LookIn(StrictSerializer):
    episode_id = Text(max_length=64)
    stage = Code(choices.STAGES)
    pain = rating()
    opens_on_pull = Truth(required=False, allow_null=True)


class CheckInIn(StrictSerializer):
    """One morning's answers. Left out or null is not answered; an empty list says that there is none."""

    local_date = Day()
    rating_step = Whole(min_value=1, max_value=2, required=False, allow_null=True)
    reserve = rating()
    dampness = rating()
    hardness = rating()
    sting = rating()
    pull_pain = rating()
    agent_used = Truth(required=False, allow_null=True)
    marks = MarkIn(many=True, required=False)
    red_flags = serializers.ListField(child=Code(choices.RED_FLAGS), required=False)
    seconds = Number(min_value=0, max_value=86400, required=False, allow_null=True)
    note = Text(max_length=2000, required=False, allow_blank=True)
    damage = DamageIn(many=True, required=False)
    looks = LookIn(many=True, required=False)


def answers(found: Mapping[str, Any]) -> CheckInAnswers:
    """Validated input as the use-case takes it."""
    return CheckInAnswers(
        day=found["local_date"],
        **{name: found.get(name) for name in PLAIN},
        marks=_listed(found.get("marks"), lambda m: (m["site"], m["mark"])),
        red_flags=_listed(found.get("red_flags"), str),
        note=found.get("note", ""),
        new_damage=tuple(NewDamage(d["site"], d["kind"], d.get("depth")) for d in found.get("damage", ())),
        looks=tuple(
            NewLook(
                look["episode_id"], look["stage"], look.get("pain"), look.get("opens_on_pull"), look.get("bled")
            )
            for look in found.get("looks", ())
        ),
    )


def _listed(found: list[Any] | None, item: Callable[[Any], Any]) -> tuple[Any, ...] | None:
    """The list as given; a list that is not there was not asked, which is not the same as empty."""
    return None if found is None else tuple(item(one) for one in found)


def placed(error: BadInput, given: CheckInAnswers) -> BadInput:
    """The error with the place of its value in the body: an episode is named within its look."""
    if error.field != "episode_id":
        return error
    n = next(n for n, look in enumerate(given.looks) if look.episode_id == error.value)
    return BadInput(f"looks/{n}/episode_id", error.problem, error.value, error.remedy)

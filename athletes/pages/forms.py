"""The check-in as a plain form: every question may stay open, nothing is preset, nothing typed is lost."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from athletes.records import choices
from coaching.rules.medical import UNNAMED_SIGN
from coaching.usecases.answers import CheckInAnswers, NewDamage, NewLook
from coaching.usecases.shown import CheckInForm

STEP = 2
RATINGS = tuple(str(n) for n in range(0, 11, STEP))
PAINS = tuple(str(n) for n in range(11))
YES_NO = ("yes", "no")
SCALES = ("reserve", "dampness", "hardness", "sting", "pull_pain")
TICKED = ("marks", "damage", "deep", "red_flags")
LONGEST_SECONDS = 3600


def _one_of(codes: Sequence[str], wrong: Any) -> forms.ChoiceField:
    return forms.ChoiceField(
        choices=[(code, code) for code in codes], required=False, error_messages={"invalid_choice": wrong}
    )


def _rating() -> forms.ChoiceField:
    return _one_of(RATINGS, _("Choose one of 0, 2, 4, 6, 8 and 10."))


def _yes_no() -> forms.ChoiceField:
    return _one_of(YES_NO, _("Choose yes or no."))


def _sent_before(asked: CheckInForm) -> dict[str, list[str]]:
    """Ticks of this day's earlier check-in: left out of a correction, a sign would be taken back unseen."""
    already = asked.already
    marks = [f"{site}={mark}" for site, mark in already.marks] if already else []
    return {"marks": marks, "damage": [], "deep": [], "red_flags": list(already.red_flags) if already else []}


class CheckIn(forms.Form):
    """One morning's answers, with three questions for each open episode.

    Names of fields are those of the answers; an episode's are `stage-`, `opens-` and `pain-` with its id.
    """

    day = forms.DateField(
        error_messages={"invalid": _("The day is not a date."), "required": _("The day is missing.")}
    )
    reserve = _rating()
    dampness = _rating()
    hardness = _rating()
    sting = _rating()
    pull_pain = _rating()
    agent_used = _yes_no()
    infected = _yes_no()
    note = forms.CharField(required=False, max_length=500, strip=True)
    seconds_taken = forms.CharField(required=False)

    def __init__(self, asked: CheckInForm, data: Any = None) -> None:
        super().__init__(data)
        self.asked = asked
        self.picked = _sent_before(asked) if data is None else {name: data.getlist(name) for name in TICKED}
        for episode in asked.episodes:
            key = episode.episode_id
            self.fields[f"stage-{key}"] = _one_of(choices.STAGES, _("Choose one of the five stages."))
            self.fields[f"opens-{key}"] = _yes_no()
            self.fields[f"pain-{key}"] = _one_of(PAINS, _("Choose 0 to 10."))

    def clean(self) -> dict[str, Any]:
        found = super().clean() or {}
        self._check_pairs("marks", choices.MARKS, _("A mark is not one that can be given there."))
        self._check_pairs(
            "damage", choices.DAMAGE_KINDS, _("This damage is not one that can be given there.")
        )
        self._check_flags(found)
        self._check_looks(found)
        if not self.errors and not self._anything(found):
            self.add_error(None, _("Nothing is answered yet. One tap is enough: start with reserve."))
        return found

    def _check_pairs(self, name: str, codes: Sequence[str], wrong: Any) -> None:
        if any(site not in choices.SITES or code not in codes for site, code in self.pairs(name)):
            self.add_error(None, wrong)

    def pairs(self, name: str) -> list[tuple[str, str]]:
        """(site, code) of every ticked box; without a known site or code the check above refuses it."""
        split = (value.partition("=") for value in dict.fromkeys(self.picked[name]))
        return [(site, code) for site, _sign, code in split]

    def _check_flags(self, found: dict[str, Any]) -> None:
        flags = self.picked["red_flags"]
        if any(flag not in choices.RED_FLAGS for flag in flags):
            self.add_error("infected", _("One of the signs is not known."))
        if found.get("infected") == "no" and flags:
            self.add_error("infected", _("Signs are ticked, but the answer is no. Take away one of the two."))

    def _check_looks(self, found: dict[str, Any]) -> None:
        for episode in self.asked.episodes:
            key = episode.episode_id
            said = found.get(f"opens-{key}") or found.get(f"pain-{key}")
            if said and not found.get(f"stage-{key}") and f"stage-{key}" not in self.errors:
                self.add_error(f"stage-{key}", _("Say how it looks: the stage is missing."))

    def _anything(self, found: dict[str, Any]) -> bool:
        plain = (value for name, value in found.items() if name not in ("day", "seconds_taken"))
        return any(plain) or any(self.picked.values())

    def answers(self) -> CheckInAnswers:
        """The valid answers; what was not answered is None."""
        found = self.cleaned_data
        deep = set(self.picked["deep"])
        ratings = {name: _number(found[name]) for name in SCALES}
        return CheckInAnswers(
            day=found["day"],
            rating_step=STEP,
            agent_used=_truth(found["agent_used"]),
            marks=tuple(self.pairs("marks")),
            red_flags=self._flags(found),
            seconds=_seconds(found["seconds_taken"]),
            note=self._note(found),
            new_damage=tuple(
                NewDamage(site, kind, "deep" if site in deep else None) for site, kind in self.pairs("damage")
            ),
            looks=tuple(self._looks(found)),
            **ratings,
        )

    def _flags(self, found: dict[str, Any]) -> tuple[str, ...] | None:
        """The signs; None where the question was passed over, so that signs sent before stand."""
        flags = tuple(dict.fromkeys(self.picked["red_flags"]))
        return flags if flags or found["infected"] == "no" else None

    @property
    def sign_unnamed(self) -> bool:
        """Infection was said without a sign. It is never refused: an alarm must not wait for a tick."""
        return self.cleaned_data.get("infected") == "yes" and not self.picked["red_flags"]

    @property
    def signs_kept(self) -> bool:
        """Signs of this day's earlier check-in were taken away; the records keep them all the same."""
        before = self.asked.already.red_flags if self.asked.already else ()
        return self.cleaned_data.get("infected") == "no" and not set(before) <= set(self.picked["red_flags"])

    def _note(self, found: dict[str, Any]) -> str:
        return f"{found['note']}\n{UNNAMED_SIGN}".strip() if self.sign_unnamed else found["note"]

    def _looks(self, found: dict[str, Any]) -> list[NewLook]:
        keys = [episode.episode_id for episode in self.asked.episodes if found[f"stage-{episode.episode_id}"]]
        return [
            NewLook(key, found[f"stage-{key}"], _number(found[f"pain-{key}"]), _truth(found[f"opens-{key}"]))
            for key in keys
        ]

    def field_for(self, name: str) -> str | None:
        """The field of this form that a refused value of the records belongs to; None: the whole form."""
        same: dict[str, str] = {"local_date": "day", "red_flags": "infected"}
        found = same.get(name, name)
        return found if found in self.fields else None


def _number(value: str) -> int | None:
    return int(value) if value else None


def _truth(value: str) -> bool | None:
    return {"yes": True, "no": False}.get(value)


def _seconds(value: str) -> float | None:
    """How long the answering took, from the page's script; nonsense is not known, never an error."""
    return float(value) if value.isdecimal() and int(value) <= LONGEST_SECONDS else None

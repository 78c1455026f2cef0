"""What is asked of an athlete about a trial: the question, and what is told of a day."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from coaching.rules.trial_questions import FORMS, OUTCOMES, PAIRS, Ask
from coaching.wording import care
from coaching.wording.trials import OUTCOMES as WORDS

WAYS = {
    "blocks": _("block after block, both hands"),
    "hands": _("one hand against the other, in half the time"),
    "hidden": _("block after block from numbered bottles that somebody else fills"),
}


class Question(forms.Form):
    """One question; it is sent by address, so that a proposal can be looked at again."""

    form = forms.ChoiceField(label=_("What to try"))
    strength = forms.ChoiceField(label=_("Strength, of an agent that comes in several"), required=False)
    outcome = forms.ChoiceField(label=_("What it is judged by"))
    better = forms.ChoiceField(label=_("Hoped for"), choices=[("lower", _("less of it")), ("higher", _("more of it"))])
    way = forms.ChoiceField(label=_("How"), choices=[(code, word) for code, word in WAYS.items()])
    pairs = forms.TypedChoiceField(label=_("Pairs"), coerce=int, choices=[(n, str(n)) for n in PAIRS])
    first_day = forms.DateField(label=_("First day"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["form"].choices = [(name, care.form(name)) for name in FORMS]  # type: ignore[attr-defined]
        strengths = [("", _("as it comes")), *care.STRENGTHS.items()]
        self.fields["strength"].choices = strengths  # type: ignore[attr-defined]
        self.fields["outcome"].choices = [(code, WORDS[code]) for code in OUTCOMES]  # type: ignore[attr-defined]

    def ask(self) -> Ask:
        told = self.cleaned_data
        return Ask(
            told["form"], told["outcome"], told["better"] == "lower", told["way"] == "hands", told["way"] == "hidden",
            told["pairs"], told["strength"] or None,
        )  # fmt: skip

    @property
    def first(self) -> date:
        day: date = self.cleaned_data["first_day"]
        return day


class Day(forms.Form):
    """One day of a trial."""

    day = forms.DateField()
    taken = forms.TypedChoiceField(
        choices=[("", ""), ("yes", ""), ("no", "")], coerce=lambda said: said == "yes", empty_value=None, required=False
    )
    left = forms.IntegerField(min_value=0, max_value=10, required=False)
    right = forms.IntegerField(min_value=0, max_value=10, required=False)

    def told(self) -> dict[str, Any]:
        return {name: self.cleaned_data.get(name) for name in ("taken", "left", "right")}

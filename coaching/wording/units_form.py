"""The form in which a person chooses the units they read air in; a coach's and an athlete's page show the same."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from coaching.usecases.shown_air import Units
from coaching.wording import air_units


class UnitsForm(forms.Form):
    """In what the person reads air."""

    temperature = forms.ChoiceField(label=_("Temperature"), choices=list(air_units.TEMPERATURES.items()))
    wind = forms.ChoiceField(label=_("Wind"), choices=list(air_units.WINDS.items()))

    @classmethod
    def of(cls, units: Units) -> UnitsForm:
        return cls(initial={"temperature": units.temperature, "wind": units.wind})

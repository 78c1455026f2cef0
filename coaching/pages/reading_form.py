"""The form in which a person chooses the language of their pages and the first day of their week."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.dates import WEEKDAYS
from django.utils.translation import gettext_lazy as _

from athletes.records.viewer import Viewer
from coaching.usecases import reading

OWN_NAMES = {"en": "English", "de": "Deutsch", "fr": "Français"}
"""Each in its own words, for whoever cannot read the page as it stands."""


class LanguageForm(forms.Form):
    """Language and first weekday."""

    language = forms.ChoiceField(label=_("Language"), required=False)
    first_weekday = forms.ChoiceField(label=_("The week begins on"), required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["language"].choices = [  # type: ignore[attr-defined]
            ("", _("as the browser asks")), *((code, OWN_NAMES[code]) for code in reading.LANGUAGES)
        ]  # fmt: skip
        self.fields["first_weekday"].choices = [  # type: ignore[attr-defined]
            ("", _("as usual")), *((code, WEEKDAYS[reading.FIRST[code]]) for code in reading.FIRST_WEEKDAYS)
        ]  # fmt: skip

    @classmethod
    def of(cls, viewer: Viewer) -> LanguageForm:
        return cls(initial={"language": viewer.language, "first_weekday": viewer.first_weekday})

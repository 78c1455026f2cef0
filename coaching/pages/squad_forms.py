"""Forms of the squad: an athlete's profile, and a session planned for several."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any
from zoneinfo import available_timezones

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from coaching.usecases.plan_sessions import MOST_DAYS, SessionsPage
from coaching.wording import squad as words
from coaching.wording.care import SURFACES

DAY = {"type": "date"}


def zones() -> list[tuple[str, str]]:
    """Every zone of this machine that names a place, for a list to choose from."""
    return [(name, name.replace("_", " ")) for name in sorted(available_timezones()) if "/" in name or name == "UTC"]


def whom(form: forms.Form, told: dict[str, Any]) -> None:
    """Everybody, or those who were ticked; at least one."""
    if told.get("everybody"):
        told["who"] = [code for code, _name in form.fields["who"].choices]  # type: ignore[attr-defined]
    if "who" in told and not told["who"]:
        form.add_error("who", gettext("Choose at least one."))


class AthleteForm(forms.Form):
    """A profile; only the name is needed, the rest makes days and forecasts right."""

    name = forms.CharField(label=_("Name"), max_length=200)
    birth_date = forms.DateField(
        label=_("Born on"), required=False, widget=forms.DateInput(attrs=DAY, format="%Y-%m-%d"),
        help_text=_("decides who may consent and which agents are open to them"),
    )  # fmt: skip
    timezone = forms.ChoiceField(label=_("Time zone"), choices=zones, help_text=_("their days begin and end in it"))
    dominant_hand = forms.ChoiceField(
        label=_("Hand they write with"), required=False, choices=[("", _("not known")), *words.HANDS.items()]
    )
    skin_kind = forms.ChoiceField(
        label=_("Kind of skin"), required=False, choices=[("", _("not known")), *words.SKIN_KINDS.items()],
        help_text=_("a first guess; their own answers overtake it"),
    )  # fmt: skip

    def values(self) -> dict[str, Any]:
        """Columns of athletes.csv; None where nobody knows."""
        return {name: value or None for name, value in self.cleaned_data.items()}


class SessionForm(forms.Form):
    """One session for several athletes and days. The weekdays pick days from the first to the last."""

    everybody = forms.BooleanField(label=_("Everybody in the list"), required=False)
    who = forms.MultipleChoiceField(label=_("Who"), required=False, widget=forms.CheckboxSelectMultiple)
    first = forms.DateField(label=_("From"), widget=forms.DateInput(attrs=DAY, format="%Y-%m-%d"))
    last = forms.DateField(
        label=_("To"), required=False, widget=forms.DateInput(attrs=DAY, format="%Y-%m-%d"),
        help_text=_("empty: that one day"),
    )  # fmt: skip
    weekdays = forms.TypedMultipleChoiceField(
        label=_("On"), required=False, coerce=int, widget=forms.CheckboxSelectMultiple, choices=words.weekdays,
        help_text=_("none: every day from the first to the last"),
    )  # fmt: skip
    minutes = forms.IntegerField(label=_("Minutes on the wall"), min_value=0, max_value=1440, required=False)
    rpe = forms.IntegerField(
        label=_("Effort"), min_value=0, max_value=10, required=False, help_text=_("0 rest, 5 middling, 10 all one has")
    )
    surface = forms.ChoiceField(
        label=_("Surface"), required=False, choices=[("", _("not known")), *SURFACES.items()]
    )
    hard_tries = forms.IntegerField(label=_("Hard tries"), min_value=0, max_value=1000, required=False)
    place = forms.ChoiceField(label=_("Place"), required=False)

    def __init__(self, page: SessionsPage, data: Any = None, *, first_weekday: int = 0, **more: Any) -> None:
        super().__init__(data, **more)
        self.fields["weekdays"].choices = words.weekdays(first_weekday)  # type: ignore[attr-defined]
        self.fields["who"].choices = [(one.code, one.name) for one in page.members]  # type: ignore[attr-defined]
        places = [(line.place.code, line.place.name) for line in page.places]
        self.fields["place"].choices = [("", gettext("not known")), *places]  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        told: dict[str, Any] = super().clean() or {}
        whom(self, told)
        first, last = told.get("first"), told.get("last") or told.get("first")
        if not first or not last:
            return told
        if last < first:
            self.add_error("last", gettext("The last day lies before the first."))
            return told
        span = (last - first).days + 1
        wanted = set(told.get("weekdays") or range(7))
        told["days"] = [day for day in (first + timedelta(days=n) for n in range(min(span, 366)))
                        if day.weekday() in wanted]  # fmt: skip
        if not told["days"]:
            self.add_error("weekdays", gettext("None of these weekdays lies between the two days."))
        elif len(told["days"]) > MOST_DAYS or span > 366:
            self.add_error("last", gettext("At most %(n)d days at once.") % {"n": MOST_DAYS})
        return told

    @property
    def days(self) -> list[date]:
        return list(self.cleaned_data["days"])

    def values(self) -> dict[str, Any]:
        """Columns of sessions.csv but for athlete, day and whether it is planned; None where nobody knows."""
        told = self.cleaned_data
        minutes, rpe = told["minutes"], told["rpe"]
        return {
            "minutes": None if minutes is None else float(minutes),
            "rpe": None if rpe is None else float(rpe),
            "surface": told["surface"] or None,
            "hard_tries": told["hard_tries"],
            "place_id": told["place"] or None,
        }

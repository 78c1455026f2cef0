"""Forms of events made by hand: the event, and who goes."""

from __future__ import annotations

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from coaching.pages.squad_forms import DAY, whom, zones
from coaching.usecases.run_events import EntriesPage, NewEventPage, Wish
from coaching.wording import calls
from coaching.wording import squad as words
from coaching.wording.care import SURFACES
from coaching.wording.levels import EVENT_KINDS
from coaching.wording.sites import DIGITS as DIGIT_WORDS
from coaching.wording.sites import site

PRIORITIES = [("1", _("1, the goal of the season")), ("2", _("2, matters")), ("3", _("3, on the way"))]
DIGITS = tuple(DIGIT_WORDS)
STATUSES = [("", _("not in it")), *calls.STATUSES.items()]


class EventForm(forms.Form):
    """A competition or a trip, and who goes."""

    name = forms.CharField(label=_("Name"), max_length=200)
    kind = forms.ChoiceField(label=_("Kind"), choices=list(EVENT_KINDS.items()))
    first_day = forms.DateField(label=_("First day"), widget=forms.DateInput(attrs=DAY, format="%Y-%m-%d"))
    last_day = forms.DateField(
        label=_("Last day"), required=False, widget=forms.DateInput(attrs=DAY, format="%Y-%m-%d"),
        help_text=_("empty: one day"),
    )  # fmt: skip
    timezone = forms.ChoiceField(label=_("Its time zone"), choices=zones)
    place = forms.ChoiceField(label=_("Place"), required=False)
    surface = forms.ChoiceField(
        label=_("Surface"), required=False, choices=[("", _("not known")), *SURFACES.items()]
    )
    styles = forms.MultipleChoiceField(
        label=_("Holds that are certain to come"), required=False, widget=forms.CheckboxSelectMultiple,
        choices=list(words.STYLES.items()),
    )  # fmt: skip
    entry_deadline = forms.DateTimeField(
        label=_("Entry changes close"), required=False,
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
        help_text=_("local time there"),
    )  # fmt: skip
    bar = forms.IntegerField(
        label=_("Chance asked for, of 100"), required=False, min_value=0, max_value=100,
        help_text=_("empty: what is usual for the squad"),
    )  # fmt: skip
    priority = forms.ChoiceField(label=_("How much it matters"), choices=PRIORITIES, initial="2")
    everybody = forms.BooleanField(label=_("Everybody in the list"), required=False)
    who = forms.MultipleChoiceField(label=_("Who goes"), required=False, widget=forms.CheckboxSelectMultiple)

    def __init__(self, page: NewEventPage, data: Any = None) -> None:
        super().__init__(data, initial={"timezone": page.zone, "kind": "competition"})
        self.page = page
        self.fields["who"].choices = [(one.code, one.name) for one in page.members]  # type: ignore[attr-defined]
        places = [(line.place.code, line.place.name) for line in page.places]
        self.fields["place"].choices = [("", gettext("not known")), *places]  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        told: dict[str, Any] = super().clean() or {}
        whom(self, told)
        first, last = told.get("first_day"), told.get("last_day")
        if first and first < self.page.today:
            self.add_error("first_day", gettext("That day is over; nothing can be worked back from it."))
        if first and last and last < first:
            self.add_error("last_day", gettext("The last day lies before the first."))
        closes, zone = told.get("entry_deadline"), told.get("timezone")
        if closes and zone:
            told["entry_deadline"] = closes = closes.replace(tzinfo=ZoneInfo(zone))
            if told.get("last_day") or first:
                self._closes_in_time(closes, told.get("last_day") or first)
        return told

    def _closes_in_time(self, closes: datetime, last: Any) -> None:
        if closes.date() > last:
            self.add_error("entry_deadline", gettext("Entries cannot close after the event."))

    def values(self) -> dict[str, Any]:
        """Columns of events.csv but for its code and place."""
        told = self.cleaned_data
        return {
            "name": told["name"],
            "kind": told["kind"],
            "first_day": told["first_day"],
            "last_day": told["last_day"] or told["first_day"],
            "timezone": told["timezone"],
            "surface": told["surface"] or None,
            "styles": tuple(told["styles"]),
            "bar": None if told["bar"] is None else float(told["bar"]),
            "entry_deadline": told["entry_deadline"],
        }


def sites_to_need() -> dict[str, str]:
    """Fingertips, finger sides for cracks and the callus rows of both hands, by code with their words."""
    tips = [f"{hand}-{digit}-tip" for hand in "LR" for digit in DIGITS]
    both = ("thumb-side", "little-side")
    sides = [f"{hand}-{digit}-{side}" for hand in "LR" for digit in DIGITS[1:4] for side in both]
    rows = [f"{hand}-palm-callus" for hand in "LR"]
    return {code: site(code) for code in (*tips, *sides, *rows)}


class EntriesForm(forms.Form):
    """One status and one priority for everybody of the squads; sites that the event needs, of whoever is in it and
    shares damage.
    """

    def __init__(self, page: EntriesPage, data: Any = None) -> None:
        super().__init__(data)
        self.page = page
        offered = sites_to_need()
        for one in page.members:
            stands = page.entrants.get(one.id)
            self.fields[f"status-{one.code}"] = forms.ChoiceField(
                choices=STATUSES[1:] if stands else STATUSES, required=False, label=gettext("Goes"),
                initial=stands.status if stands else "",
            )  # fmt: skip
            self.fields[f"priority-{one.code}"] = forms.ChoiceField(
                choices=[("", gettext("not said")), *PRIORITIES], required=False, label=gettext("How much it matters"),
                initial=str(stands.priority) if stands and stands.priority else "",
            )  # fmt: skip
            self.fields[f"seen-{one.code}"] = forms.IntegerField(
                widget=forms.HiddenInput, required=False, min_value=0, initial=stands.version if stands else 0
            )
            if stands and "damage" in one.shared:
                self.fields[f"needs-{one.code}"] = forms.MultipleChoiceField(
                    choices=list({**offered, **{s: site(s) for s in stands.needs_sites}}.items()), required=False,
                    initial=list(stands.needs_sites), label=gettext("Sites it needs of them"),
                )  # fmt: skip

    def lines(self) -> list[dict[str, Any]]:
        """One a member, with the fields of theirs."""
        return [
            {"name": one.name, "code": one.code, "needs": self._needs(one.code),
             **{part: self[f"{part}-{one.code}"] for part in ("status", "priority", "seen")}}
            for one in self.page.members
        ]  # fmt: skip

    def _asked(self, code: str) -> bool:
        """Whether the sites were on the page as it was sent: none ticked and none shown look alike otherwise."""
        return f"asked-{code}" in self.data and f"needs-{code}" in self.fields

    def _needs(self, code: str) -> list[tuple[str, str, bool]]:
        """(site, words, ticked) of one member; plain values, because a squad has thousands of them."""
        name = f"needs-{code}"
        if name not in self.fields:
            return []
        ticked = set(self[name].value() or ())
        return [(key, words, key in ticked) for key, words in self.fields[name].choices]  # type: ignore[attr-defined]

    def wishes(self) -> list[Wish]:
        """What is asked for everybody who was on the page as it was sent."""
        told = self.cleaned_data
        return [
            Wish(
                one.code, told[f"status-{one.code}"], int(told[f"priority-{one.code}"] or 0) or None,
                told[f"seen-{one.code}"] or 0,
                tuple(told.get(f"needs-{one.code}", ())) if self._asked(one.code) else None,
            )
            for one in self.page.members
            if f"status-{one.code}" in self.data
        ]  # fmt: skip

"""Forms of the pages of places: a place, one reading, the units of a file. Nothing is preset."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.utils.translation import gettext, pgettext_lazy
from django.utils.translation import gettext_lazy as _

from coaching.usecases.shown_air import AirPage
from coaching.wording import air_units

KINDS = [("", _("not known")), ("crag", _("crag")), ("hall", _("hall"))]
ROCKS = [
    ("", _("not known")), ("limestone", _("limestone")), ("sandstone", _("sandstone")), ("gritstone", _("gritstone")),
    ("granite", _("granite")), ("volcanic", _("volcanic")),
]  # fmt: skip
EXPOSURES = [("", _("not known")), ("sheltered", _("sheltered from wind")), ("open", _("open to wind"))]


def _number(label: Any, low: float, high: float, help_text: Any = "") -> forms.FloatField:
    return forms.FloatField(label=label, required=False, min_value=low, max_value=high, help_text=help_text)


class PlaceForm(forms.Form):
    """A place; only its name is needed, the rest says what can be told of it."""

    name = forms.CharField(label=_("Name"), max_length=200)
    kind = forms.ChoiceField(label=_("Kind"), choices=KINDS, required=False)
    rock = forms.ChoiceField(label=_("Rock"), choices=ROCKS, required=False)
    lat = _number(_("Latitude"), -90, 90, _("degrees, north positive; without it no sun and no forecast"))
    lon = _number(_("Longitude"), -180, 180, _("degrees, east positive"))
    altitude_m = _number(_("Altitude, m"), -500, 9000)
    face_deg = _number(_("Bearing the face looks to"), 0, 360, _("compass degrees: 90 east, 180 south"))
    skyline_deg = _number(_("Height of the skyline before it"), 0, 90, _("degrees over level"))
    coast_deg = _number(_("Bearing of the open sea"), 0, 360, _("compass degrees; empty away from a coast"))
    exposure = forms.ChoiceField(label=pgettext_lazy("to wind", "Wind"), choices=EXPOSURES, required=False)

    def values(self) -> dict[str, Any]:
        """Columns of places.csv; what was left open is left out."""
        return {name: value for name, value in self.cleaned_data.items() if value not in ("", None)}


class FileUnitsForm(forms.Form):
    """Units of the columns of a file that say none; nothing is chosen for anybody."""

    file_temperature = forms.ChoiceField(
        label=_("Unit of a column temp"), required=False,
        choices=[("", _("not chosen")), *air_units.TEMPERATURES.items()],
    )  # fmt: skip
    file_wind = forms.ChoiceField(
        label=_("Unit of a column wind"), required=False, choices=[("", _("not chosen")), *air_units.WINDS.items()],
    )  # fmt: skip

    def values(self) -> tuple[str, str]:
        return self.cleaned_data["file_temperature"], self.cleaned_data["file_wind"]


class ReadingForm(forms.Form):
    """One hour, in the units of the person and the clock of the place."""

    at = forms.DateTimeField(label=_("When"), widget=forms.DateTimeInput(attrs={"type": "datetime-local"}))
    temp = forms.FloatField()
    humidity = forms.FloatField(label=_("Humidity, %"), min_value=0, max_value=100)
    wind = forms.FloatField(required=False, min_value=0)
    wind_from = _number(_("Wind from, compass degrees"), 0, 360)

    def __init__(self, page: AirPage, data: Any = None) -> None:
        super().__init__(data)
        self.page = page
        self.fields["at"].help_text = gettext("local time (%(zone)s)") % {"zone": page.zone}
        self.fields["temp"].label = gettext("Temperature, °%(unit)s") % {"unit": page.units.temperature}
        self.fields["wind"].label = gettext("Wind, %(unit)s") % {"unit": page.units.wind}

    def clean_at(self) -> datetime:
        """The form's clock is that of the place, whatever the server's."""
        found: datetime = self.cleaned_data["at"]
        return found.replace(tzinfo=ZoneInfo(self.page.zone)).astimezone(UTC)

    def values(self) -> dict[str, Any]:
        """Columns of air.csv, in C and m/s."""
        told, units = self.cleaned_data, self.page.units
        wind = told["wind"]
        return {
            "starts_at": told["at"],
            "temp_c": air_units.celsius(told["temp"], units),
            "rh_pct": told["humidity"],
            "wind_m_s": None if wind is None else air_units.metres_a_second(wind, units),
            "wind_from_deg": told["wind_from"],
        }

"""The list of places, and the page on which air is told, as their templates read them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.utils.translation import gettext, ngettext

from athletes.records.queries_air import PlaceLine
from coaching.usecases.shown_air import AirPage, PlacesList
from coaching.usecases.tell_air import Preview
from coaching.wording import air_told

MOST_ROWS, MOST_BAD = 8, 50


@dataclass(frozen=True)
class Line:
    """One place of the list."""

    found: PlaceLine

    @property
    def code(self) -> str:
        return self.found.place.code

    @property
    def name(self) -> str:
        return self.found.place.name

    @property
    def about(self) -> str:
        return air_told.about(self.found)

    @property
    def known(self) -> str:
        return air_told.known(self.found)


@dataclass(frozen=True)
class PlacesShown:
    """The list."""

    found: PlacesList
    athlete: str = ""

    @property
    def lines(self) -> list[Line]:
        return [Line(line) for line in self.found.lines]

    @property
    def headline(self) -> str:
        n = len(self.found.lines)
        return ngettext("%(n)d place.", "%(n)d places.", n) % {"n": n} if n else gettext("No place yet.")


@dataclass(frozen=True)
class AirTold:
    """The page on which the air of a place is told."""

    page: AirPage

    @property
    def code(self) -> str:
        return self.page.place.code

    @property
    def title(self) -> str:
        return gettext("Air of %(place)s") % {"place": self.page.place.name}

    @property
    def note(self) -> str:
        return gettext("Everybody who sees this place reads it, and forecasts rest on it.")

    @property
    def columns(self) -> str:
        return gettext(
            "Columns starts_at, temp_c, rh_pct, and if known wind_m_s, wind_from_deg, pressure_hpa, rain_mm, "
            "cloud_pct, known_at (when a forecast was issued; empty: measured), times with their offset. Other units: "
            "temp_f, wind_kmh, wind_mph, wind_kn; or temp and wind with the units chosen here."
        )

    @property
    def service(self) -> list[str]:
        return air_told.service(self.page)

    @property
    def may_ask(self) -> bool:
        return bool(self.page.service) and self.page.place.lat is not None


@dataclass(frozen=True)
class PreviewShown:
    """What a file would store, or every bad row with its number."""

    found: Preview
    text: str

    @property
    def title(self) -> str:
        if self.found.bad:
            n = len(self.found.bad)
            return ngettext("%(n)d thing to put right", "%(n)d things to put right", n) % {"n": n}
        n = len(self.found.rows)
        return ngettext("%(n)d hour, nothing stored yet", "%(n)d hours, nothing stored yet", n) % {"n": n}

    @property
    def span(self) -> str:
        if self.found.bad or not self.found.rows:
            return ""
        starts = [row[0] for row in self.found.rows]
        return f"{min(starts):%Y-%m-%d %H:%M} – {max(starts):%Y-%m-%d %H:%M} UTC"

    @property
    def bad(self) -> list[str]:
        return [str(row) for row in self.found.bad[:MOST_BAD]]

    @property
    def more(self) -> str:
        left = len(self.found.bad) - MOST_BAD if self.found.bad else len(self.found.rows) - MOST_ROWS
        return ngettext("%(n)d more.", "%(n)d more.", left) % {"n": left} if left > 0 else ""

    @property
    def names(self) -> tuple[str, ...]:
        return self.found.names

    @property
    def rows(self) -> list[list[str]]:
        return [[_cell(value) for value in row] for row in self.found.rows[:MOST_ROWS]]

    @property
    def converted(self) -> str:
        """In which units the file was read, where they are not those that are stored."""
        units = ", ".join("°" + unit if unit in "CF" else unit for unit in self.found.units.values())
        return gettext("Read as %(units)s; shown and stored in °C and m/s.") % {"units": units} if units else ""

    @property
    def store(self) -> str:
        n = len(self.found.rows)
        return ngettext("Store %(n)d hour", "Store %(n)d hours", n) % {"n": n}


def _cell(value: Any) -> str:
    if value is None:
        return ""
    return f"{value:%Y-%m-%d %H:%M} UTC" if isinstance(value, datetime) else f"{value:g}"

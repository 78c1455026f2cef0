"""`fetch-forecasts`: ask the forecast service once for every place with a position; for a timer of the machine."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext

from athletes.records.queries_air import every_place
from coaching.jobs import schema
from coaching.usecases.ask_forecast import ask_for, service
from coaching.wording.air_told import answered


class Command(BaseCommand):
    help = "Ask the forecast service for every place with a position. Off until TENPADS_FORECAST_CONTACT is set."

    def handle(self, *args: Any, **options: Any) -> None:
        schema.ready()
        if not service():
            raise CommandError(gettext("Off: set TENPADS_FORECAST_CONTACT to an address that reaches you."))
        for place in every_place():
            self.stdout.write(f"{place.name}: {answered(ask_for(place, None))}")

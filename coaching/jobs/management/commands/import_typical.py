"""`import-typical PLACE FILE`: a typical year from open data (TMY3 or TMY2) for a place, for months ahead."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext

from athletes.records.errors import BadInput, NotFound
from coaching.jobs import schema
from coaching.usecases.typical_year import import_typical


class Command(BaseCommand):
    help = "Put a typical year (TMY3 or TMY2 file) under a place; pages mark what comes from it as typical."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("place", help="place_id as in the bundle")
        parser.add_argument("file", type=Path, help="a TMY3 or TMY2 file; the station should lie near and as high")
        parser.add_argument("--source", default="", help="what pages call it (the station's name)")

    def handle(self, *args: Any, **options: Any) -> None:
        schema.ready()
        try:
            found = import_typical(options["place"], options["file"].read_bytes(), options["source"])
        except NotFound as error:
            raise CommandError(gettext("There is no place {code}.").format(code=options["place"])) from error
        except OSError as error:
            raise CommandError(str(error)) from error
        except BadInput as error:
            raise CommandError(f"{error.field}: {error.problem}: {error.remedy}.") from error
        line = gettext("{station}: {hours} hours; {flagged} flagged, their two dew points contradict each other.")
        self.stdout.write(line.format(station=found.station, hours=found.hours, flagged=found.flagged))

"""`waiting`: whose conclusions are out of date, since when, and what was given up and why."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand
from django.utils.translation import gettext, gettext_lazy

from coaching.jobs import schema
from coaching.usecases import clock, health
from coaching.usecases.late_list import LateAthlete, late_list

STATES = {
    "waits": gettext_lazy("waits"),
    "in-hand": gettext_lazy("in work"),
    "rests": gettext_lazy("failed, is tried again"),
    "given-up": gettext_lazy("given up"),
}


class Command(BaseCommand):
    help = "Tell whose conclusions are out of date, as the operator of this machine."

    def handle(self, *args: Any, **options: Any) -> None:
        schema.ready()
        now = clock.now()
        found = late_list(now)
        for row in found:
            self.stdout.write(_line(row))
        lost = sum(row.state == "given-up" for row in found)
        self.stdout.write(gettext("{n} out of date, {lost} of them given up").format(n=len(found), lost=lost))
        self.stdout.write(_sweep(health.readiness(now).last_sweep_s))


def _line(row: LateAthlete) -> str:
    since = row.since.strftime("%Y-%m-%d %H:%M:%S UTC")
    line = gettext("{code}  since {since}  {state}, attempts: {n}")
    said = line.format(code=row.code, since=since, state=STATES[row.state], n=row.attempts)
    return f"{said}  {_why(row)}".rstrip()


def _why(row: LateAthlete) -> str:
    if row.failure:
        return row.failure.splitlines()[0]
    return gettext("its process ended each time without a word") if row.state == "given-up" else ""


def _sweep(ago_s: float | None) -> str:
    if ago_s is None:
        return gettext("no sweep has ended yet")
    return gettext("the last sweep ended {ago} s ago").format(ago=round(ago_s))

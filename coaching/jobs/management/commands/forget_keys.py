"""`forget-keys`: drop Idempotency-Keys that are past their 30 days."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand
from django.utils.translation import gettext

from coaching.jobs import schema
from coaching.usecases import once


class Command(BaseCommand):
    help = "Drop what is kept of requests that were sent more than 30 days ago. It is done once a day by itself."

    def handle(self, *args: Any, **options: Any) -> None:
        schema.ready()
        self.stdout.write(gettext("{n} dropped.").format(n=once.forget_old()))

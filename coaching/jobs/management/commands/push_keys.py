"""`push-keys`: a new key for reminders by push, as a line for the settings; nothing is kept."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand
from django.utils.translation import gettext

from coaching.usecases.reminding import webpush


class Command(BaseCommand):
    help = "Make a key with which reminders by push are signed. Browsers that asked under another have to ask again."

    def handle(self, *args: Any, **options: Any) -> None:
        self.stdout.write(f"TENPADS_PUSH_KEY={webpush.new_key()}")
        said = gettext("Keep it as secret as a password. Push is on once TENPADS_PUSH_CONTACT is set beside it.")
        self.stderr.write(said)

from __future__ import annotations

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class RecordsConfig(AppConfig):
    name = "athletes.records"
    label = "records"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from athletes.records import append_only_guard, checks, row_lock  # noqa: F401 - checks registers itself

        post_migrate.connect(append_only_guard.put_up, sender=self, dispatch_uid="append-only")
        post_migrate.connect(row_lock.put_up, sender=self, dispatch_uid="row-lock")

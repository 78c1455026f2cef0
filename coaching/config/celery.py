"""The Celery application of the scale path. The embedded default never starts it."""

from __future__ import annotations

import logging
import os
from typing import Any

from celery import Celery, Task
from celery.signals import setup_logging

from athletes.records import row_scope
from coaching.config import reconnecting

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coaching.config.settings")


class Ours(Task):  # type: ignore[misc]
    """A task works for the club, not for a viewer: it reads and stores of everybody."""

    abstract = True

    def __call__(self, *args: Any, **options: Any) -> Any:
        with row_scope.everybody():
            return super().__call__(*args, **options)


reconnecting.install()
app = Celery("tenpads", task_cls=Ours)
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks(["coaching.jobs"])


@setup_logging.connect
def _log_as_everywhere(loglevel: int | None = None, **options: Any) -> None:
    """The settings' own handlers stay: those that a worker would put in their place write past what keeps secrets and
    rows out of logs (`config.scrubbing`).
    """
    logging.getLogger("celery").setLevel(loglevel or logging.WARNING)

"""The Celery application of the scale path. The embedded default never starts it."""

from __future__ import annotations

import os
from typing import Any

from celery import Celery, Task

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

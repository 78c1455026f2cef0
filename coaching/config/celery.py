"""The Celery application of the scale path. The embedded default never starts it."""

from __future__ import annotations

import os

from celery import Celery

from coaching.config import reconnecting

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coaching.config.settings")

reconnecting.install()
app = Celery("tenpads")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks(["coaching.jobs"])

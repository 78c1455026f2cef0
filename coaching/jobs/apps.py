from __future__ import annotations

from django.apps import AppConfig
from django.conf import settings


class CoachingJobsConfig(AppConfig):
    name = "coaching.jobs"
    label = "coaching_jobs"

    def ready(self) -> None:
        """Where there is a queue, changed athletes are handed to it."""
        if settings.TENPADS_REDIS_URL:
            from coaching.jobs.publishing import Publisher
            from coaching.jobs.queue import publish
            from coaching.usecases import nudge

            nudge.send_through(Publisher(publish).send)

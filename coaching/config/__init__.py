"""Settings, addresses and the assembly of all layers."""

import os

# Tasks are sent through the application that was made last. Where no queue is configured, nothing pays for Celery.
if os.environ.get("TENPADS_REDIS_URL"):
    from coaching.config.celery import app as celery_app

    __all__ = ["celery_app"]

"""Celery's end of the same use-case that the in-process runner calls. Tasks may run twice, late, or not at all."""

from __future__ import annotations

from collections.abc import Sequence

from celery import shared_task

from coaching.usecases import recompute


@shared_task(ignore_result=True)
def recompute_athletes(athlete_ids: Sequence[int]) -> None:
    recompute.drain_these(list(athlete_ids))


@shared_task(ignore_result=True)
def sweep() -> None:
    recompute.drain()

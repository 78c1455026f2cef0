"""Rows that are only ever added. The database holds the same by triggers, for whoever comes past the models."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NoReturn

from django.db import models


class AppendOnlyError(TypeError):
    """Somebody meant to change or drop a row that is only ever added to."""


def _refuse(*args: Any, **kwargs: Any) -> NoReturn:
    raise AppendOnlyError("rows of this table are added, never changed or dropped")


class AppendOnlyRows(models.QuerySet[Any]):
    """A QuerySet that reads and adds."""

    update = _refuse  # type: ignore[assignment]
    delete = _refuse  # type: ignore[assignment]
    bulk_update = _refuse
    update_or_create = _refuse

    def bulk_create(self, objs: Iterable[Any], *args: Any, **kwargs: Any) -> list[Any]:
        if kwargs.get("update_conflicts"):
            _refuse()
        return super().bulk_create(objs, *args, **kwargs)


class AppendOnly(models.Model):
    """Base of such a table."""

    objects = AppendOnlyRows.as_manager()

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            _refuse()
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        _refuse()

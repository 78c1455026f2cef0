"""Pages by a cursor: the key of the last row of the page before. Rows that come in between shift nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from django.db.models import Q, QuerySet

T = TypeVar("T")
Key = tuple[Any, ...]


@dataclass(frozen=True)
class Wanted:
    """How many rows, and after which."""

    limit: int = 50
    after: Key | None = None


@dataclass(frozen=True)
class Page(Generic[T]):
    """Rows, and the key to go on after; None where the list ends."""

    rows: tuple[T, ...]
    after: Key | None = None


def newest_first(rows: QuerySet[Any], by: str, wanted: Wanted) -> Page[Any]:
    """One page of rows by falling (`by`, id). One query."""
    if wanted.after:
        value, last = wanted.after
        rows = rows.filter(Q(**{f"{by}__lt": value}) | Q(**{by: value, "id__lt": last}))
    found = list(rows.order_by(f"-{by}", "-id")[: wanted.limit + 1])
    return _page(found, wanted, lambda row: (getattr(row, by), row.id))


def in_order(items: Iterable[T], key: Callable[[T], Key], wanted: Wanted) -> Page[T]:
    """One page of items by rising key, which no two of them share."""
    found = sorted(items, key=key)
    if wanted.after:
        found = [item for item in found if key(item) > wanted.after]
    return _page(found[: wanted.limit + 1], wanted, key)


def _page(found: list[T], wanted: Wanted, key: Callable[[T], Key]) -> Page[T]:
    kept = tuple(found[: wanted.limit])
    return Page(kept, key(kept[-1]) if len(found) > wanted.limit else None)


def turned(page: Page[Any], into: Callable[[Any], T]) -> Page[T]:
    """The same page of other values."""
    return Page(tuple(into(row) for row in page.rows), page.after)

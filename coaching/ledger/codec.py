"""Frozen values to plain JSON and back. One converter, so that a stored conclusion reads back equal."""

from __future__ import annotations

from typing import Any, TypeVar, get_origin

from cattrs.preconf.json import make_converter

# Without a path to the faulty part in its errors, which costs half of the time: conclusions can be made again.
CONVERTER = make_converter(detailed_validation=False)
# Sets of words in their order: their own order differs from process to process, and digests must not.
CONVERTER.register_unstructure_hook_func(lambda kind: get_origin(kind) in (set, frozenset), sorted)
T = TypeVar("T")


def plain(value: object) -> Any:
    """Dataclasses, dates and tuples as what JSON knows; dates as ISO 8601."""
    return CONVERTER.unstructure(value)


def frozen(data: Any, kind: type[T]) -> T:
    """The value of that kind which `plain` made `data` of; raises on data of another shape."""
    return CONVERTER.structure(data, kind)

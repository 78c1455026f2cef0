"""Serializers whose fields are made once a process; a request only gets a copy of the shell, with its own data.

DRF copies every field of a serializer for each request, which costs more than all it then does with them.
"""

from __future__ import annotations

from functools import cache
from typing import Any, TypeVar

from rest_framework import serializers

Kind = TypeVar("Kind", bound=serializers.Serializer)


def of(kind: type[Kind], instance: Any = None, data: Any = serializers.empty) -> Kind:
    """As `kind(instance, data=data)`, for a serializer that is used as a whole and keeps nothing in its fields: with
    neither `partial` nor a context.
    """
    one: Kind = object.__new__(kind)
    one.__dict__.update(_shell(kind).__dict__)
    one.instance = instance
    if data is not serializers.empty:
        one.initial_data = data
    return one


@cache
def _shell(kind: type[Kind]) -> Kind:
    made = kind()
    made.__dict__["fields"] = made.fields  # made at the first look, then found here; the copies share it
    return made

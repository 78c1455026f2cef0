"""What every operation of the interface has in common, and how those of one address come together."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from django.http import HttpResponse
from rest_framework.request import Request
from rest_framework.views import APIView

from api.v1.authentication import WAYS
from api.v1.parsing import OneMeaningJSON
from athletes.records.errors import NotFound

KEY = re.compile(r"[0-9]{1,18}", re.ASCII)


class Operation(APIView):
    """One operation: a class with one method of HTTP."""

    authentication_classes = WAYS
    parser_classes = [OneMeaningJSON]

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        """A name with a NUL, which no database of ours stores, is nobody's."""
        super().initial(request, *args, **kwargs)
        if any("\0" in str(value) for value in kwargs.values()):
            raise NotFound


def address(*operations: type[Operation]) -> Callable[..., HttpResponse]:
    """The view of an address with these operations, each of another method."""
    name = "And".join(operation.__name__ for operation in operations)
    return type(name, operations, {"__doc__": operations[0].__doc__}).as_view()  # type: ignore[attr-defined]


def row_key(text: str) -> int:
    """The key of a row from an address; raises NotFound for what no key looks like."""
    if not KEY.fullmatch(text):
        raise NotFound
    return int(text)

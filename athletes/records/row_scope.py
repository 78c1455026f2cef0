"""Of whom the statements of this context may touch rows of health, where the server keeps the second lock (`row_lock`).

A request begins with nobody, and the door adds whom it lets through. Commands and workers of our own say `everybody`.
Whoever says nothing is in no scope, and to them the guarded tables are empty.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field, replace
from typing import Any

ATHLETES, ACCOUNT = "tenpads.athletes", "tenpads.account"
"""Settings of the server, set for one statement or transaction at a time: keys with commas between, and one key."""
EVERYBODY = "all"


@dataclass
class Scope:
    """Keys of the athletes let through so far, and of the account that asks; `asked`: a question for further keys."""

    athletes: set[int] = field(default_factory=set)
    account: int | None = None
    everybody: bool = False
    asked: tuple[str, Sequence[Any]] | None = None


_BEFORE = re.compile(rf"^S[^;].*?SET LOCAL {re.escape(ACCOUNT)} TO '\d*'; ", re.DOTALL)
_scope: ContextVar[Scope | None] = ContextVar("scope", default=None)


@contextmanager
def of(scope: Scope) -> Iterator[Scope]:
    """Statements inside are of this scope; afterwards of the one before, whatever was raised."""
    kept = _scope.set(scope)
    try:
        yield scope
    finally:
        _scope.reset(kept)


def within(scope: Scope, parts: Iterable[Any]) -> Iterator[Any]:
    """The parts of an answer that are made while it is sent, each in the scope of its request."""
    iterator, end = iter(parts), object()
    while True:
        with of(scope):
            part = next(iterator, end)
        if part is end:
            return
        yield part


def everybody() -> Any:
    """For what is done on the club's behalf and answers nobody: workers, commands, and what a use-case names so."""
    return of(Scope(everybody=True))


def let_through(athlete_ids: Iterable[int]) -> None:
    """The door has let these through, in the request that is being answered here."""
    scope = _scope.get()
    if scope is not None:
        scope.athletes.update(athlete_ids)


@contextmanager
def besides(athlete_ids: Iterable[int]) -> Iterator[None]:
    """Besides, these, inside of the block: for what is stored of somebody by a role that needs no word of theirs."""
    scope = _scope.get() or Scope()
    with of(replace(scope, athletes=scope.athletes | set(athlete_ids))):
        yield


@contextmanager
def and_those(sql: str, values: Sequence[Any]) -> Iterator[None]:
    """Besides, those whose keys the door's own question gives, for statements that answer before the door has looked
    at each: it is asked in the same round trip. `sql` selects one column of keys from tables that are not guarded.
    """
    with of(replace(_scope.get() or Scope(), asked=(sql, values))):
        yield


def before(statement: str, values: Sequence[Any] | None) -> tuple[str, Sequence[Any] | None]:
    """The statement with its scope set before it, in one message that is its own transaction where none is open. What
    is set ends with that, so nothing is left on a connection that is kept.
    """
    scope = _scope.get() or Scope()
    account = f"SET LOCAL {ACCOUNT} TO '{'' if scope.account is None else int(scope.account)}'; "
    if scope.everybody:
        return f"SET LOCAL {ATHLETES} TO '{EVERYBODY}'; {account}{statement}", values
    keys = ",".join(str(int(key)) for key in sorted(scope.athletes))
    if scope.asked is None:
        return f"SET LOCAL {ATHLETES} TO '{keys}'; {account}{statement}", values
    sql, given = scope.asked
    found = (
        f"SELECT set_config('{ATHLETES}', concat_ws(',', %s::text, (SELECT string_agg(found.key::text, ',')"  # noqa: S608
        f" FROM ({sql}) AS found (key))), true); "
    )
    # Values of the question go beside it, so a sign of its own in a statement without values has to be doubled.
    rest = statement if values is not None else statement.replace("%", "%%")
    return found + account + rest, [keys or None, *given, *(values or ())]


def asked(message: str | None) -> str | None:
    """The statement alone, of a message that `before` made."""
    return None if message is None else _BEFORE.sub("", message, count=1)

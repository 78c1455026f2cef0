"""What was made before and may be made again at any time: a few thousand values by what they were made from."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from datetime import timedelta
from typing import Generic, TypeVar

from coaching.usecases import clock, erase

LONGEST = timedelta(hours=6)
"""After so long everything is made anew: an athlete who was erased in another process is gone from this one too."""
T = TypeVar("T")


class Kept(Generic[T]):
    """The values asked for last, in this process's memory alone. A key must say everything that a value depends on."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._held: OrderedDict[Hashable, T] = OrderedDict()
        self._lock = threading.Lock()
        self._since = clock.now()
        erase.when_erased(self.clear)

    def get(self, key: Hashable, make: Callable[[], T]) -> T:
        """The value of the key, made where it is not held. Two at once may both make it; they make the same."""
        with self._lock:
            if clock.now() - self._since > LONGEST:
                self._held.clear()
                self._since = clock.now()
            if key in self._held:
                self._held.move_to_end(key)
                return self._held[key]
        made = make()
        with self._lock:
            self._held[key] = made
            while len(self._held) > self._most:
                self._held.popitem(last=False)
        return made

    def clear(self) -> None:
        """Hold nothing any more."""
        with self._lock:
            self._held.clear()

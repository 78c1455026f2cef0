"""A verb that is told to end leaves nothing behind: TERM and HUP become what Ctrl-C is, and clearing up is let end."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

STOPS = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)


class Stopped(KeyboardInterrupt):
    """Raised where the verb was told to end; whatever it made is dropped on the way out."""


@contextmanager
def told_to_stop() -> Iterator[None]:
    """Within the block the first such signal raises; later ones wait until everything is cleared up.

    Ends the process with 128 and the signal's number, as a shell has it. Signals reach only a process's first thread;
    in any other this does nothing.
    """
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    seen: list[int] = []

    def stop(number: int, frame: FrameType | None) -> None:
        seen.append(number)
        if len(seen) == 1:
            raise Stopped

    before = {number: signal.signal(number, stop) for number in STOPS}
    try:
        yield
    except Stopped:
        raise SystemExit(128 + seen[0]) from None
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)

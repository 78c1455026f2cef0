"""Callers shared between processes, as a server shares its requests: one interpreter runs one thread at a time."""

from __future__ import annotations

import multiprocessing
import time
from collections.abc import Sequence
from multiprocessing.connection import Connection

from django.db import connections

from coaching.usecases.bench.threads import Callers, Job


class Processes:
    """Processes that stay, each with threads that stay; to be made before this process has threads of its own."""

    def __init__(self, jobs: Sequence[Job], many: int) -> None:
        connections.close_all()  # a session must not be held by two processes
        fork = multiprocessing.get_context("fork")  # what they call was made here and cannot be sent
        self._lines: list[Connection] = []
        self._made = []
        for n in range(many):
            here, there = fork.Pipe()
            made = fork.Process(target=_work, args=(there, list(jobs[n::many])), daemon=True)
            made.start()
            there.close()
            self._lines.append(here)
            self._made.append(made)

    def all_do(self) -> float:
        """Every job once; seconds on the processor that the processes took together. Raises what one of them told."""
        for line in self._lines:
            line.send(True)
        told = [line.recv() for line in self._lines]
        errors = [one for one in told if isinstance(one, str)]
        if errors:
            raise RuntimeError(errors[0])
        return sum(told)

    def go_home(self) -> None:
        """End the processes and their connections."""
        for line, made in zip(self._lines, self._made, strict=True):
            line.send(False)  # closing it would not do: later processes hold a copy of this end
            made.join()
            line.close()


def _work(line: Connection, jobs: list[Job]) -> None:
    callers = Callers(len(jobs))
    while line.recv():
        began_s = time.process_time()
        try:
            callers.all_do(jobs)
        except Exception as error:
            line.send(repr(error))
        else:
            line.send(time.process_time() - began_s)
    callers.go_home()

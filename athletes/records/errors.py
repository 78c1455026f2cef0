"""What the records answer when they cannot do what was asked."""

from __future__ import annotations


class NotFound(Exception):
    """Not there, or not for this viewer; the two are never told apart."""


class BadInput(ValueError):
    """One value that the records do not take: which field, what is wrong with it, the value, and what would
    be taken.
    """

    def __init__(self, field: str, problem: str, value: object = None, remedy: str = "") -> None:
        super().__init__(f"{field}: {problem}")
        self.field, self.problem, self.value, self.remedy = field, problem, value, remedy

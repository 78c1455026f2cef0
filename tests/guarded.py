"""What tests of guarded modules ask with: the code of a problem, and an account as the door sees it."""

from __future__ import annotations

import re

from athletes.records import access
from athletes.records.bundle.problems import PROBLEMS
from athletes.records.models import Account
from athletes.records.viewer import Viewer
from tests import stored


def code(said: str) -> str:
    """The code of a problem that was put into words."""
    shapes = {name: re.escape(str(words[0])).replace(r"\{hint\}", ".*") for name, words in PROBLEMS.items()}
    return next(name for name, shape in shapes.items() if re.fullmatch(shape, said))


def viewer(account: Account) -> Viewer:
    """On the day on which the tests stand."""
    return access.viewer_for(account, stored.TODAY, stored.NOW)

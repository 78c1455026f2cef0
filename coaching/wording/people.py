"""Roles of people."""

from __future__ import annotations

from collections.abc import Iterable

from django.utils.translation import gettext_lazy as _

from coaching.wording.sentences import series

ROLES = {
    "head-coach": _("head coach"),
    "assistant": _("assistant coach"),
    "medical": _("medical person"),
    "manager": _("team manager"),
    "athlete": _("athlete"),
    "guardian": _("guardian"),
    "support": _("support"),
}


def role(code: str) -> str:
    """The role in words."""
    return str(ROLES.get(code, code))


def role_list(codes: Iterable[str]) -> str:
    """Several roles as one phrase, in a fixed order."""
    found = set(codes)
    return series(words for code, words in ROLES.items() if code in found)

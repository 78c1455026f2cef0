"""Which passwords are taken: by their length and by what is easily guessed, never by which characters they mix.

Lengths as in NIST SP 800-63B-4, 3.1.1.2 (from memory): 15 characters where the password is used alone, 8 beside a
second factor, any that fits up to 256, spaces and signs of every script included, compared exactly.
"""

from __future__ import annotations

import gzip
from functools import cache
from typing import Any

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from athletes.records import second_factor
from athletes.records.models import Account, Membership, Role
from athletes.records.passwords.folding import folded, variants
from athletes.records.passwords.make_blocked import BLOCKED, SPORT

ALONE, WITH_SECOND, LONGEST = 15, 8, 256
LEFT_OVER = 6
"""So many characters of a password must be nobody's name and no word of the sport."""
OWN_WORDS = ("tenpads", *SPORT)


@cache
def blocked() -> frozenset[str]:
    """The list, folded."""
    return frozenset(gzip.decompress(BLOCKED.read_bytes()).decode().split("\n"))


def least(account: Any) -> int:
    """How long a password of the account must be."""
    return WITH_SECOND if account is not None and account.pk and second_factor.has(account) else ALONE


def guessable(password: str, context: tuple[str, ...] = ()) -> bool:
    """It is on the list, runs in a short circle, or says little but names and words that anybody would try."""
    read = variants(password)
    return _circles(password) or any(one in blocked() or _circles(one) or _only(one, context) for one in read if one)


def _circles(text: str) -> bool:
    """A unit of up to four characters, repeated to the end; or hardly any different characters at all."""
    return len(set(text)) < 4 or any(text == (text[:n] * len(text))[: len(text)] for n in range(1, 5))


def _only(plain: str, context: tuple[str, ...]) -> bool:
    """Take away names, words of the sport and digits: too little is left."""
    words = sorted({folded(word) for word in (*context, *OWN_WORDS)}, key=len, reverse=True)
    for word in words:
        if len(word) >= 3:
            plain = plain.replace(word, "")
    return sum(not c.isdigit() for c in plain) < LEFT_OVER


def context_of(account: Any) -> tuple[str, ...]:
    """Names that belong to the account: its own, the person's, their squads' and club's."""
    if account is None:
        return ()
    found = [account.get_username()]
    person = getattr(account, "person", None)
    if person is not None:
        found.append(person.name)
        roles = Role.objects.filter(person=person).select_related("squad__club", "athlete")
        squads = [role.squad for role in roles if role.squad]
        own = [role.athlete_id for role in roles if role.athlete_id]
        member = Membership.objects.filter(athlete_id__in=own).select_related("squad__club")
        for squad in (*squads, *(row.squad for row in member)):
            found += [squad.name, squad.code, squad.club.name]
    return tuple(part for text in found for part in (text, *text.split()))


class PasswordRules:
    """The validator that settings name."""

    def validate(self, password: str, user: Account | None = None) -> None:
        if len(password) < least(user):
            raise ValidationError(self._length(least(user)), code="short")
        if len(password) > LONGEST:
            raise ValidationError(_("It may have 256 characters at most."), code="long")
        if guessable(password, context_of(user)):
            said = _("That is one of the first that a stranger would try. Several words that have nothing to do with "
                     "you or with climbing are better.")  # fmt: skip
            raise ValidationError(said, code="guessable")

    def get_help_text(self) -> str:
        return self._length(ALONE)

    @staticmethod
    def _length(characters: int) -> str:
        return _("It needs {n} characters or more; a sentence does well.").format(n=characters)

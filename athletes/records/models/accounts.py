"""Signing in: sessions, one-time links, and how often somebody tried."""

from __future__ import annotations

from django.contrib.sessions.base_session import AbstractBaseSession
from django.db import models

from athletes.records import choices
from athletes.records.models.constraints import code_required
from athletes.records.models.people import Account, Athlete, Person, Squad


class SignedIn(AbstractBaseSession):
    """One browser that somebody signed in with. The row is found by a SHA-256 of what the browser keeps, so that
    nobody who reads this table can go on in anybody's place.
    """

    session_key = models.CharField(max_length=64, primary_key=True)
    account = models.ForeignKey(Account, on_delete=models.CASCADE, null=True, related_name="sessions")
    began_at = models.DateTimeField(null=True)
    seen_at = models.DateTimeField(null=True)
    browser = models.CharField(max_length=60, blank=True, default="")

    class Meta:
        verbose_name = "session"


class OneTimeLink(models.Model):
    """A link that is good once: to take up a role, or to set a new password. Only a SHA-256 of its secret is kept."""

    kind = models.CharField(max_length=8)
    prefix = models.CharField(max_length=12, unique=True)
    digest = models.CharField(max_length=64)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(Account, on_delete=models.SET_NULL, null=True, related_name="links_made")
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True)
    revoked_at = models.DateTimeField(null=True)
    account = models.ForeignKey(Account, on_delete=models.CASCADE, null=True, related_name="links")
    person = models.ForeignKey(Person, on_delete=models.CASCADE, null=True, related_name="+")
    name = models.CharField(max_length=200, blank=True, default="")
    role = models.CharField(max_length=16, blank=True, default="")
    squad = models.ForeignKey(Squad, on_delete=models.CASCADE, null=True, related_name="+")
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, null=True, related_name="+")

    class Meta:
        constraints = [
            code_required("link", "kind", choices.LINK_KINDS),
            models.CheckConstraint(
                condition=models.Q(kind="join") | models.Q(account__isnull=False), name="link_of_reset_names_an_account"
            ),
        ]


class Tried(models.Model):
    """How often something was tried in the window that ends at `until_s`; `what` is a keyed hash and names nobody."""

    what = models.CharField(max_length=64, primary_key=True)
    until_s = models.BigIntegerField(db_index=True)
    times = models.IntegerField()

"""The athlete's word, kept as it was given: who may see which class of data, for what, until when."""

from __future__ import annotations

from django.db import models

from athletes.records import choices
from athletes.records.models.append_only import AppendOnly
from athletes.records.models.constraints import code_required, in_order
from athletes.records.models.people import Athlete


class Consent(AppendOnly):
    """A word given, or, where `ends` names one, a word taken back. No live row means nothing shared.

    `grantee_person` is the key of one person whom the word is meant for; NULL: whoever holds the role. `grantor` is the
    key of the person who spoke. A word that came in a bundle, or stood before words were told apart, is `both`:
    whoever brought it in vouches for the athlete's word and, under 18, for the guardian's too. The text that was read
    is named by version, language and SHA-256. `ends` has no row but the one it takes back, so a word ends once.
    """

    athlete = models.ForeignKey(Athlete, on_delete=models.DO_NOTHING, related_name="consents")
    grantor = models.BigIntegerField(null=True)
    grantor_role = models.CharField(max_length=8, default="both")
    grantee_role = models.CharField(max_length=16)
    grantee_person = models.BigIntegerField(null=True)
    data_class = models.CharField(max_length=16)
    purpose = models.CharField(max_length=16)
    given_on = models.DateField()
    until = models.DateField(null=True)
    made_at = models.DateTimeField(null=True)
    method = models.CharField(max_length=16, default="bundle")
    text_version = models.CharField(max_length=16, blank=True, default="")
    text_hash = models.CharField(max_length=64, blank=True, default="")
    locale = models.CharField(max_length=16, blank=True, default="")
    ends = models.OneToOneField("self", on_delete=models.DO_NOTHING, null=True, related_name="ended_by")

    class Meta:
        constraints = [
            code_required("consent", "grantee_role", choices.ROLES),
            code_required("consent", "data_class", choices.DATA_CLASSES),
            code_required("consent", "purpose", choices.PURPOSES),
            code_required("consent", "grantor_role", choices.GRANTORS),
            code_required("consent", "method", choices.CONSENT_METHODS),
            in_order("consent", "given_on", "until"),
        ]
        indexes = [models.Index(fields=["athlete", "grantee_role", "data_class"], name="consent_lookup")]

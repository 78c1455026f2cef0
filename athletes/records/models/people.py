"""Who there is: clubs, squads, people with roles, athletes, and who may see what of whom."""

from __future__ import annotations

from django.contrib.auth.models import AbstractUser
from django.db import models
from django.db.models.functions import Coalesce

from athletes.records import choices
from athletes.records.models.constraints import code_required, in_order, one_of


class Club(models.Model):
    name = models.CharField(max_length=200, unique=True)


class Squad(models.Model):
    club = models.ForeignKey(Club, on_delete=models.PROTECT, related_name="squads")
    code = models.CharField(max_length=64, unique=True)
    name = models.CharField(max_length=200)


class Person(models.Model):
    """Anybody with a role; an athlete is a person only once they have one. The units are those they read air in."""

    code = models.CharField(max_length=64, unique=True)
    name = models.CharField(max_length=200)
    temperature_unit = models.CharField(max_length=1, default="C")
    wind_unit = models.CharField(max_length=4, default="m/s")

    class Meta:
        constraints = [
            code_required("person", "temperature_unit", choices.TEMPERATURE_UNITS),
            code_required("person", "wind_unit", choices.WIND_UNITS),
        ]


class Account(AbstractUser):
    """A login. A demo login is refused away from the machine it was made on."""

    person = models.OneToOneField(
        Person, on_delete=models.CASCADE, null=True, blank=True, related_name="account"
    )
    demo = models.BooleanField(default=False)


class Athlete(models.Model):
    """The athlete's profile. Sensitivities and contraindications are lists of codes."""

    code = models.CharField(max_length=64, unique=True)
    name = models.CharField(max_length=200)
    birth_date = models.DateField(null=True)
    timezone = models.CharField(max_length=64, default="UTC")
    dominant_hand = models.CharField(max_length=8, blank=True, default="")
    skin_kind = models.CharField(max_length=8, blank=True, default="")
    sensitivities = models.JSONField(default=list)
    contraindications = models.JSONField(default=list)
    temperature_unit = models.CharField(max_length=1, default="C")

    class Meta:
        constraints = [
            one_of("athlete", "dominant_hand", choices.HANDS),
            one_of("athlete", "skin_kind", choices.SKIN_KINDS),
            code_required("athlete", "temperature_unit", ("C", "F")),
        ]


class Membership(models.Model):
    squad = models.ForeignKey(Squad, on_delete=models.CASCADE, related_name="memberships")
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="memberships")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["squad", "athlete"], name="membership_once")]


class Role(models.Model):
    """What a person is to a squad; `athlete` is oneself or one's ward for the roles athlete and guardian."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="roles")
    squad = models.ForeignKey(Squad, on_delete=models.CASCADE, null=True, related_name="roles")
    role = models.CharField(max_length=16)
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, null=True, related_name="people")

    class Meta:
        constraints = [
            code_required("role", "role", choices.ROLES),
            # An expression, because SQLite takes two NULLs for different whatever `nulls_distinct` says.
            models.UniqueConstraint(
                "person", Coalesce("squad", 0), "role", Coalesce("athlete", 0), name="role_once"
            ),
            models.CheckConstraint(
                condition=~models.Q(role__in=["athlete", "guardian"]) | models.Q(athlete__isnull=False),
                name="role_of_an_athlete_names_one",
            ),
        ]


class Consent(models.Model):
    """The athlete's word that a role may see one class of data for one purpose. No live row means nothing shared."""

    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="consents")
    grantee_role = models.CharField(max_length=16)
    data_class = models.CharField(max_length=16)
    purpose = models.CharField(max_length=16)
    given_on = models.DateField()
    until = models.DateField(null=True)
    withdrawn_on = models.DateField(null=True)

    class Meta:
        constraints = [
            code_required("consent", "grantee_role", choices.ROLES),
            code_required("consent", "data_class", choices.DATA_CLASSES),
            code_required("consent", "purpose", choices.PURPOSES),
            in_order("consent", "given_on", "until"),
        ]
        indexes = [models.Index(fields=["athlete", "grantee_role", "data_class"], name="consent_lookup")]

"""Who there is: clubs, squads, people with roles, athletes."""

from __future__ import annotations

from django.contrib.auth.models import AbstractUser
from django.db import models
from django.db.models.functions import Coalesce

from athletes.records import choices
from athletes.records.models.constraints import code_required, one_of


class Club(models.Model):
    """`country` (ISO 3166-1, two letters) says from which age a child may speak for themselves; "" is not known."""

    name = models.CharField(max_length=200, unique=True)
    country = models.CharField(max_length=2, blank=True, default="")


class Squad(models.Model):
    """`sample`: everybody in it is invented, and goes with it."""

    club = models.ForeignKey(Club, on_delete=models.PROTECT, related_name="squads")
    code = models.CharField(max_length=64, unique=True)
    name = models.CharField(max_length=200)
    sample = models.BooleanField(default=False)


class Person(models.Model):
    """Anybody with a role; an athlete is a person only once they have one. The units are those they read air in, the
    language and the first day of the week those they read pages in; "" is what their browser asks for.
    """

    code = models.CharField(max_length=64, unique=True)
    name = models.CharField(max_length=200)
    temperature_unit = models.CharField(max_length=1, default="C")
    wind_unit = models.CharField(max_length=4, default="m/s")
    language = models.CharField(max_length=8, blank=True, default="")
    first_weekday = models.CharField(max_length=8, blank=True, default="")

    class Meta:
        constraints = [
            code_required("person", "temperature_unit", choices.TEMPERATURE_UNITS),
            code_required("person", "wind_unit", choices.WIND_UNITS),
            one_of("person", "language", choices.LANGUAGES),
            one_of("person", "first_weekday", choices.FIRST_WEEKDAYS),
        ]


class Account(AbstractUser):
    """A login. A demo login is refused away from the machine it was made on."""

    person = models.OneToOneField(
        Person, on_delete=models.CASCADE, null=True, blank=True, related_name="account"
    )
    demo = models.BooleanField(default=False)
    short_password = models.BooleanField(default=False)  # under 15 characters: good with a second factor only
    vouch_needed_since = models.DateTimeField(null=True)  # set anew through somebody else's link; nothing is read yet
    vouch_of = models.ForeignKey("self", on_delete=models.SET_NULL, null=True, related_name="+")  # who made that link


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

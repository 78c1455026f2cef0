"""Where an erasure walks to, on a small schema of its own: along what is deleted with the athlete, no further."""

from __future__ import annotations

from collections import defaultdict

from django.db import models
from django.test.utils import isolate_apps

from athletes.records import erasing


@isolate_apps("athletes.records")
def test_a_walk_follows_what_would_go_along_and_no_link_that_only_passes_by() -> None:
    """Kinds of relations as the framework tells them apart (docs.djangoproject.com, Model _meta API, from memory)."""

    class Climber(models.Model):
        class Meta:
            app_label = "records"

    class Youth(Climber):
        class Meta:
            app_label = "records"

    class Wall(models.Model):
        liked_by = models.ManyToManyField(Climber)

        class Meta:
            app_label = "records"

    class Ascent(models.Model):
        climber = models.ForeignKey(Climber, models.CASCADE)
        partner = models.ForeignKey(Climber, models.SET_NULL, null=True, related_name="+")

        class Meta:
            app_label = "records"

    class Rope(models.Model):
        last_used_by = models.ForeignKey(Climber, models.SET_NULL, null=True)

        class Meta:
            app_label = "records"

    class Photo(models.Model):
        ascent = models.OneToOneField(Ascent, models.DO_NOTHING, related_name="+")

        class Meta:
            app_label = "records"

    doomed: erasing.Doomed = defaultdict(set)
    emptied: list[tuple[type[models.Model], str, erasing.Keys]] = []
    erasing.follow(Climber, {0}, doomed, emptied, look=False)
    between = Wall.liked_by.through
    assert set(doomed) == {Climber, Youth, between, Ascent, Photo}, "the wall is not the climber's, the link to it is"
    assert {(model, column) for model, column, _ in emptied} == {(Ascent, '"partner_id"'), (Rope, '"last_used_by_id"')}

"""Addresses of the first version of the interface for other programs."""

from __future__ import annotations

from django.urls import path

from api.v1 import athletes, checkins, entries, schema

urlpatterns = [
    path("schema", schema.Schema.as_view(), name="api-schema"),
    path("athletes", athletes.AthleteList.as_view(), name="api-athletes"),
    path("athletes/<str:athlete_id>/check-ins", checkins.PostCheckIn.as_view(), name="api-checkins"),
    path("athletes/<str:athlete_id>/entries", entries.AthleteEntries.as_view(), name="api-entries"),
]

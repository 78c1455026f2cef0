"""Addresses of the first version of the interface for other programs."""

from __future__ import annotations

from django.urls import path

from api.v1 import (
    athletes,
    care,
    checkins,
    damage,
    decisions,
    deliveries,
    entries,
    events,
    looks,
    pauses,
    schema,
    seen,
    sessions,
)
from api.v1.operations import address

ATHLETE, EVENT = "athletes/<str:athlete_id>", "events/<str:event_id>"

urlpatterns = [
    path("schema", schema.Schema.as_view(), name="api-schema"),
    path("docs", schema.Docs.as_view(), name="api-docs"),
    path("athletes", address(athletes.ListAthletes)),
    path(ATHLETE, address(athletes.ReadAthlete)),
    path(f"{ATHLETE}/deliveries", address(deliveries.PostDelivery)),
    path(f"{ATHLETE}/check-ins", address(checkins.ListCheckIns, checkins.PostCheckIn)),
    path(f"{ATHLETE}/sessions", address(sessions.ListSessions, sessions.PostSession)),
    path(f"{ATHLETE}/care", address(care.ListCare, care.PostCare)),
    path(f"{ATHLETE}/damage", address(damage.ListDamage, damage.PostDamage)),
    path(f"{ATHLETE}/damage/<str:episode_id>/looks", address(looks.ListLooks, looks.PostLook)),
    path(f"{ATHLETE}/looks/<str:look_id>", address(looks.ReadLook, looks.ChangeLook)),
    path(f"{ATHLETE}/sightings", address(seen.ListSightings, seen.PostSighting)),
    path(f"{ATHLETE}/sign-offs", address(seen.ListSignoffs, seen.PostSignoff)),
    path(f"{ATHLETE}/entries", address(entries.ReadEntries)),
    path(f"{ATHLETE}/decisions", address(decisions.ListDecisions, decisions.PostDecision)),
    path(f"{ATHLETE}/overruled-pauses", address(pauses.PostPause)),
    path("deadlines", address(decisions.ListDeadlines)),
    path("events", address(events.ListEvents)),
    path(EVENT, address(events.ReadEvent, events.ChangeEvent)),
    path(f"{EVENT}/entries", address(events.ListEventEntries)),
    path(f"{EVENT}/entries/<str:athlete_id>", address(events.ReadEventEntry, events.ChangeEventEntry)),
]

"""Addresses of the athlete's pages."""

from __future__ import annotations

from django.urls import path

from athletes.pages import (
    card_views,
    damage_views,
    hands_views,
    infected_views,
    place_views,
    session_views,
    sharing_views,
    tally_views,
    trial_views,
    views,
)

urlpatterns = [
    path("me/check-in", views.check_in, name="check-in"),
    path("me/today", views.today, name="today"),
    path("me/session", session_views.session, name="session"),
    path("me/tally", tally_views.counting, name="tally"),
    path("me/damage", damage_views.damage, name="damage"),
    path("me/damage/<str:episode_id>", damage_views.episode, name="episode"),
    path("me/infected", infected_views.infected, name="infected"),
    path("photos/<str:name>", damage_views.photo, name="photo"),
    path("me/hands", hands_views.hands, name="hands"),
    path("me/hand-over.pdf", card_views.card, name="own-card"),
    path("me/trials", trial_views.board, name="trials"),
    path("me/trials/new", trial_views.new, name="new-trial"),
    path("me/trials/<int:number>", trial_views.one, name="trial"),
    path("me/places", place_views.places, name="own-places"),
    path("me/places/<str:code>", place_views.place, name="own-place"),
    path("me/who-sees", sharing_views.shared, name="who-sees"),
    path("me/who-looked", sharing_views.read, name="who-read"),
    path("me/export", sharing_views.own, name="own-export"),
    path("me/record.pdf", sharing_views.record, name="own-record"),
    path("me/erase", sharing_views.erasing, name="erase"),
    path("support", sharing_views.glass, name="support"),
]

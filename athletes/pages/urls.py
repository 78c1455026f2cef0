"""Addresses of the athlete's pages."""

from __future__ import annotations

from django.urls import path

from athletes.pages import hands_views, place_views, session_views, sharing_views, views

urlpatterns = [
    path("me/check-in", views.check_in, name="check-in"),
    path("me/today", views.today, name="today"),
    path("me/session", session_views.session, name="session"),
    path("me/hands", hands_views.hands, name="hands"),
    path("me/places", place_views.places, name="own-places"),
    path("me/places/<str:code>", place_views.place, name="own-place"),
    path("me/who-sees", sharing_views.shared, name="who-sees"),
    path("me/who-looked", sharing_views.read, name="who-read"),
    path("me/export", sharing_views.own, name="own-export"),
    path("me/erase", sharing_views.erasing, name="erase"),
    path("support", sharing_views.glass, name="support"),
]

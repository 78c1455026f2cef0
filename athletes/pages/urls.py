"""Addresses of the athlete's pages."""

from __future__ import annotations

from django.urls import path

from athletes.pages import views

urlpatterns = [
    path("me/check-in", views.check_in, name="check-in"),
    path("me/today", views.today, name="today"),
]

"""Addresses of the coach's pages."""

from __future__ import annotations

from django.urls import path

from coaching.pages import views

urlpatterns = [
    path("morning", views.morning, name="morning"),
    path("athletes/<str:code>", views.athlete, name="athlete"),
]

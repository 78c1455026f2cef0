"""Addresses of the coach's pages."""

from __future__ import annotations

from django.urls import path

from coaching.pages import event_views, views

urlpatterns = [
    path("morning", views.morning, name="morning"),
    path("athletes/<str:code>", views.athlete, name="athlete"),
    path("events", event_views.events, name="events"),
    path("events/<str:code>", event_views.event, name="event"),
    path("events/<str:code>/sheet.pdf", event_views.sheet_pdf, name="event-sheet"),
    path("events/<str:code>/sheet.csv", event_views.sheet_csv, name="event-csv"),
    path("events/<str:code>/sheet.xlsx", event_views.sheet_xlsx, name="event-xlsx"),
]

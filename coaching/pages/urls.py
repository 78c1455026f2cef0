"""Addresses of the coach's pages."""

from __future__ import annotations

from django.urls import path

from coaching.pages import (
    decision_views,
    event_views,
    not_known_views,
    place_views,
    plan_views,
    review_views,
    right_views,
    rules_views,
    season_views,
    squad_plans,
    squad_views,
    team_views,
    views,
    what_if_views,
)

urlpatterns = [
    path("morning", views.morning, name="morning"),
    path("athletes/<str:code>", views.athlete, name="athlete"),
    path("athletes/<str:code>/plan", plan_views.plan, name="plan"),
    path("athletes/<str:code>/what-if", what_if_views.what_if_page, name="what-if"),
    path("plans", squad_plans.squad_plans, name="squad-plans"),
    path("decisions", decision_views.decisions, name="decisions"),
    path("athletes/<str:code>/overrule", rules_views.overrule, name="overrule"),
    path("rules", rules_views.rules, name="rules"),
    path("places", place_views.places, name="places"),
    path("places/<str:code>", place_views.place, name="place"),
    path("places/<str:code>/air", place_views.air, name="place-air"),
    path("athletes/<str:code>/made", right_views.made, name="athlete-made"),
    path("were-we-right", right_views.were_right, name="were-we-right"),
    path("not-known", not_known_views.unknowns, name="not-known"),
    path("season", season_views.season, name="season"),
    path("squad", squad_views.squad, name="squad"),
    path("squad/<str:code>", squad_views.profile, name="squad-profile"),
    path("sessions", team_views.sessions, name="sessions"),
    path("new-event", team_views.new_event, name="new-event"),
    path("events/<str:code>/entries", team_views.entries, name="event-entries"),
    path("events", event_views.events, name="events"),
    path("events/<str:code>", event_views.event, name="event"),
    path("events/<str:code>/review", review_views.event_review, name="event-review"),
    path("events/<str:code>/sheet.pdf", event_views.sheet_pdf, name="event-sheet"),
    path("events/<str:code>/sheet.csv", event_views.sheet_csv, name="event-csv"),
    path("events/<str:code>/sheet.xlsx", event_views.sheet_xlsx, name="event-xlsx"),
]

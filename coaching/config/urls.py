"""Every address of the service."""

from __future__ import annotations

from django.urls import include, path

from coaching.config import health, offline, views

urlpatterns = [
    path("api/v1/", include("api.v1.urls")),  # first: programs ask most often, and no page's address begins so
    path("", views.front, name="front"),
    path("login", views.Login.as_view(), name="login"),
    path("login", views.Login.as_view(), name="account_login"),  # as the library of second factors calls it
    path("", include("coaching.pages.account_urls")),
    path("sw.js", offline.worker, name="worker"),
    path("manifest.webmanifest", offline.manifest, name="manifest"),
    path("offline", offline.offline, name="offline"),
    path("contact", offline.contact, name="contact"),
    path("phone", offline.phone, name="phone"),
    path("healthz", health.healthz, name="healthz"),
    path("readyz", health.readyz, name="readyz"),
    path("", include("coaching.pages.urls")),
    path("", include("athletes.pages.urls")),
]

handler404 = "coaching.config.views.not_found"
handler500 = "coaching.config.outage.failed"

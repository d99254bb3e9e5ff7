"""Addresses of the strain pages, inside one gym; rows in web/access/policies.py."""

from __future__ import annotations

from django.urls import path

from heftwright.web.strain import health, pages, rating

urlpatterns = [
    path("strain/", pages.strain, name="strain"),
    path("strain/class/<day:on>/<str:class_key>/", rating.strain_class, name="strain_class"),
    path("squad/<str:athlete>/strain", pages.strain_athlete, name="strain_athlete"),
    path("squad/<str:athlete>/health", health.health_notes, name="health_notes"),
    path("squad/<str:athlete>/readiness", health.readiness_add, name="readiness_add"),
]

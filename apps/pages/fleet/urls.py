"""Addresses of this subject."""

from __future__ import annotations

from django.urls import URLPattern, path

from apps.pages.fleet import views

urlpatterns: list[URLPattern] = [
    path("fleet", views.fleet, name="fleet"),
    path("fleet/fleet.csv", views.fleet_csv, name="fleet-csv"),
    path("fleet/due", views.due, name="due"),
    path("fleet/due.csv", views.due_csv, name="due-csv"),
    path("fleet/outlook", views.outlook, name="outlook"),
    path("fleet/pairs", views.pairs, name="pairs"),
    path("fleet/rates", views.rates, name="rates"),
]

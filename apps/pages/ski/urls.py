"""Addresses of one ski: its page, its certificate, and what a share link opens."""

from __future__ import annotations

from django.urls import URLPattern, path

from apps.pages.ski import amending, pairing, shared, status, use, views

urlpatterns: list[URLPattern] = [
    path("t/<str:shop>/<str:tag>", views.tag_page, name="ski"),
    path("t/<str:shop>/<str:tag>/bundle", views.bundle, name="ski-bundle"),
    path("t/<str:shop>/<str:tag>/certificate", shared.make_certificate, name="certificate-make"),
    path("t/<str:shop>/<str:tag>/pair", pairing.pair, name="ski-pair"),
    path("t/<str:shop>/<str:tag>/use", use.use, name="ski-use"),
    path("t/<str:shop>/<str:tag>/status", status.status, name="ski-status"),
    path("t/<str:shop>/<str:tag>/records/<str:record_id>", amending.record, name="ski-record"),
    path("s/<str:token>", shared.shared, name="shared"),
    path("s/<str:token>/certificate", shared.shared_certificate, name="shared-certificate"),
]

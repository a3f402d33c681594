"""Addresses of the labels."""

from __future__ import annotations

from django.urls import URLPattern, path

from apps.pages.labels import views

urlpatterns: list[URLPattern] = [
    path("labels", views.labels, name="labels"),
    path("labels/page.css", views.page_style, name="labels-style"),
    path("labels/tags/print", views.print_tags, name="labels-again"),
    path("labels/<int:number>/print", views.print_range, name="labels-print"),
]

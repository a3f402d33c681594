"""Addresses of the node's page."""

from __future__ import annotations

from django.urls import URLPattern, path

from apps.pages.node import views

urlpatterns: list[URLPattern] = [path("node", views.node, name="node")]

"""Addresses of the entry."""

from __future__ import annotations

from django.urls import URLPattern, path

from apps.pages.entry import views

urlpatterns: list[URLPattern] = [
    path("", views.home, name="home"),
    path("enter", views.enter, name="enter"),
    path("leave", views.leave, name="leave"),
    path("language", views.language, name="language"),
    path("own", views.own, name="own"),
    path("own/password", views.password, name="password"),
]

"""Addresses of this subject."""

from __future__ import annotations

from django.urls import URLPattern, path

from apps.pages.bench.job_views import job
from apps.pages.bench.plan_views import plan
from apps.pages.bench.views import bench, bench_ski

urlpatterns: list[URLPattern] = [
    path("bench", bench, name="bench"),
    path("bench/<str:shop>/<str:tag>", bench_ski, name="bench-ski"),
    path("bench/<str:shop>/<str:tag>/plan", plan, name="plan"),
    path("bench/<str:shop>/<str:tag>/job", job, name="job"),
]

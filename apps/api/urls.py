"""The addresses of the API and of the pages that explain it."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, include, path

from apps.api.kinds import ROUTES
from apps.api.views.about import Contract, Root, docs, home, problems
from apps.api.views.amendments import Amendment, RecordItem
from apps.api.views.condition import SkiCondition, SkiPlan
from apps.api.views.fleet import FleetDue, FleetList, FleetOutlook, FleetRates
from apps.api.views.jobs import JobsTogether
from apps.api.views.kinds import KindCollection, KindItem
from apps.api.views.like import LikeSkis, SkiLike
from apps.api.views.pairs import SkiPair
from apps.api.views.skis import SkiCollection, SkiHistory, SkiItem
from apps.api.views.wear import SkiWear

app_name = "api"

kinds: list[URLPattern] = []
for _kind, _route in ROUTES.items():
    kinds += [
        path(_route.segment, KindCollection.as_view(kind=_kind)),
        path(f"{_route.segment}/<str:id>", KindItem.as_view(kind=_kind)),
    ]

v1: list[URLPattern | URLResolver] = [
    path("", Root.as_view()),
    path("openapi.json", Contract.as_view()),
    path("skis", SkiCollection.as_view()),
    path("skis/<str:shop>/<str:tag>", SkiItem.as_view()),
    path("skis/<str:shop>/<str:tag>/history", SkiHistory.as_view()),
    path("skis/<str:shop>/<str:tag>/condition", SkiCondition.as_view()),
    path("skis/<str:shop>/<str:tag>/plan", SkiPlan.as_view()),
    path("skis/<str:shop>/<str:tag>/pair", SkiPair.as_view()),
    path("skis/<str:shop>/<str:tag>/like", SkiLike.as_view()),
    path("skis/<str:shop>/<str:tag>/wear", SkiWear.as_view()),
    path("like", LikeSkis.as_view()),
    path("fleet", FleetList.as_view()),
    path("fleet/due", FleetDue.as_view()),
    path("fleet/outlook", FleetOutlook.as_view()),
    path("fleet/rates", FleetRates.as_view()),
    path("jobs/bulk", JobsTogether.as_view()),
    *kinds,
    path("records/<str:id>", RecordItem.as_view()),
    path("records/<str:id>/correction", Amendment.as_view(kind="correction")),
    path("records/<str:id>/retraction", Amendment.as_view(kind="retraction")),
]

urlpatterns: list[URLPattern | URLResolver] = [
    path("", home),
    path("docs/", docs),
    path("docs/problems", problems),
    path("api/v1/", include(v1)),
]

"""The addresses of the API and of the pages that explain it."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, include, path

from apps.api.kinds import ROUTES
from apps.api.views.about import Contract, Root, docs, problems
from apps.api.views.amendments import Amendment, RecordItem
from apps.api.views.bundle import SkiBundle
from apps.api.views.capabilities import Capabilities
from apps.api.views.condition import SkiCondition, SkiPlan
from apps.api.views.cosignatures import Cosignatures
from apps.api.views.exports import ExportCollection, ImportCollection, ImportTemplate
from apps.api.views.fleet import FleetDue, FleetList, FleetOutlook, FleetRates
from apps.api.views.jobs import JobsTogether
from apps.api.views.keys import KeyCollection, KeyEndings
from apps.api.views.kinds import KindCollection, KindItem
from apps.api.views.like import LikeSkis, SkiLike
from apps.api.views.links import LinkCollection, LinkItem, SkiRetag
from apps.api.views.log import LogCheckpoint, LogConsistency, LogProof, LogRows
from apps.api.views.pairs import SkiPair
from apps.api.views.share_links import ShareLinkCollection, ShareLinkItem
from apps.api.views.skis import SkiCollection, SkiHistory, SkiItem
from apps.api.views.wear import SkiWear
from apps.api.views.webhooks import (
    WebhookCollection,
    WebhookItem,
    WebhookReplaying,
    WebhookResuming,
)

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
    path("skis/<str:shop>/<str:tag>/bundle", SkiBundle.as_view()),
    path("skis/<str:shop>/<str:tag>/retag", SkiRetag.as_view()),
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
    path("records/<str:id>/dispute", Amendment.as_view(kind="dispute")),
    path("keys", KeyCollection.as_view()),
    path("keys/<str:key>/end", KeyEndings.as_view()),
    path("links", LinkCollection.as_view()),
    path("links/<str:id>", LinkItem.as_view()),
    path("share-links", ShareLinkCollection.as_view()),
    path("share-links/<str:prefix>", ShareLinkItem.as_view()),
    path("log/checkpoint", LogCheckpoint.as_view()),
    path("log/proof", LogProof.as_view()),
    path("log/consistency", LogConsistency.as_view()),
    path("log/records", LogRows.as_view()),
    path("log/cosignatures", Cosignatures.as_view()),
    path("exports", ExportCollection.as_view()),
    path("imports", ImportCollection.as_view()),
    path("imports/template", ImportTemplate.as_view()),
    path("webhooks", WebhookCollection.as_view()),
    path("webhooks/<str:webhook>", WebhookItem.as_view()),
    path("webhooks/<str:webhook>/resume", WebhookResuming.as_view()),
    path("webhooks/<str:webhook>/replay", WebhookReplaying.as_view()),
]

urlpatterns: list[URLPattern | URLResolver] = [
    path("docs/", docs),
    path(".well-known/ski-service-registry", Capabilities.as_view()),
    path("docs/problems", problems),
    path("api/v1/", include(v1)),
]

"""The addresses of the pages."""

from __future__ import annotations

from apps.pages.bench.urls import urlpatterns as bench
from apps.pages.entry.urls import urlpatterns as entry
from apps.pages.fleet.urls import urlpatterns as fleet
from apps.pages.labels.urls import urlpatterns as labels
from apps.pages.node.urls import urlpatterns as node
from apps.pages.shop.urls import urlpatterns as shop
from apps.pages.ski.urls import urlpatterns as ski

app_name = "pages"

urlpatterns = [*entry, *ski, *bench, *fleet, *labels, *shop, *node]

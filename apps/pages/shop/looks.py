"""Who looked at the shop's skis: other shops by tag, and buyers by link."""

from __future__ import annotations

from typing import Any

from django.db.models import Sum
from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from apps.pages.paging import first_rows, number_before
from apps.pages.visitor import PageRequest, reader
from apps.registry.label_ranges import is_tag
from apps.registry.models import LookUp, ShareLink
from apps.registry.models.ski import shop_and_tag, tag_key
from apps.registry.querysets import LookUpQuerySet

PAGE = 50


@require_safe
@reader
def looks(request: PageRequest) -> HttpResponse:
    """Show the look-ups of own tags by others, the latest first."""
    shop, tag = request.visitor.shop, request.GET.get("tag", "").strip().upper()
    rows, last = first_rows(_rows(request, shop, tag)[: PAGE + 1], PAGE)
    opened = ShareLink.objects.of_shop(shop).aggregate(times=Sum("opened_count"))["times"]
    context: dict[str, Any] = {
        "looks": [(look, shop_and_tag(look.tag_key)[1]) for look in rows],
        "older": last.pk if last else None,
        "tag": tag,
        "opened": opened or 0,
    }
    return render(request, "pages/shop/looks.html", context)


def _rows(request: PageRequest, shop: str, tag: str) -> LookUpQuerySet:
    rows = (_of_tag(shop, tag) if tag else LookUp.objects.on_tags_of(shop)).order_by("-id")
    before = number_before(request)
    return rows if before is None else rows.filter(id__lt=before)


def _of_tag(shop: str, tag: str) -> LookUpQuerySet:
    # What can be no tag holds characters that not every database takes.
    return LookUp.objects.of_tag(tag_key(shop, tag)) if is_tag(tag) else LookUp.objects.none()

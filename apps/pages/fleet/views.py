"""The pages of the fleet: each reads its address, asks the registry once, and shows the answer."""

from __future__ import annotations

from collections.abc import Iterable

from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from apps.pages.fleet.asking import asked_by
from apps.pages.fleet.due import due_list
from apps.pages.fleet.due_form import DueForm
from apps.pages.fleet.filters import FilterForm, PagedForm
from apps.pages.fleet.fleet_form import FleetForm
from apps.pages.fleet.heads import heads_of
from apps.pages.fleet.outlook import outlook_of
from apps.pages.fleet.outlook_form import OutlookForm
from apps.pages.fleet.pairs import pairs_page
from apps.pages.fleet.pairs_form import PairsForm
from apps.pages.fleet.rates import rates_of
from apps.pages.fleet.skis import columns_for, ski_rows
from apps.pages.fleet.tables import due_table, fleet_table
from apps.pages.paging import first_rows
from apps.pages.visitor import PageRequest, reader
from apps.registry.fleet import Place, Row, fleet_rows
from apps.registry.fleet_due import Asked, DuePlace, due_rows
from apps.registry.fleet_places import read_place, write_place
from apps.registry.fleet_reasons import KEPT
from apps.registry.models import Condition
from apps.registry.practices import practice_of

SKIS_ON_A_PAGE = 50
BY_URGENCY = "-urgency"
SOON_DAYS = 30


@require_safe
@reader
@asked_by(FleetForm, "pages/fleet/fleet.html")
def fleet(request: PageRequest, form: FleetForm) -> HttpResponse:
    """List the skis of the fleet."""
    handle = request.visitor.shop
    rows, following = _skis(form, handle)
    shown = {
        "form": form,
        "rows": ski_rows(rows),
        "following": following,
        "is_empty": not rows and not _has_skis(handle),
        "table": form.query(sort=form.sort_key),
        "unit": request.visitor.unit,
        "heads": heads_of(form),
    }
    return render(request, "pages/fleet/fleet.html", shown)


def _skis(form: FleetForm, handle: str) -> tuple[list[Row], str]:
    after = Place(*read_place(form.sort_key, form.place, within=handle)) if form.place else None
    columns, skis = columns_for(timezone.localdate()), form.selection.of(handle)
    found = fleet_rows(skis, form.order, columns, after=after, size=SKIS_ON_A_PAGE + 1)
    return _page(found, form, form.sort_key)


@require_safe
@reader
@asked_by(FleetForm, "pages/fleet/fleet.html")
def fleet_csv(request: PageRequest, form: FleetForm) -> HttpResponseBase:
    """Hand the fleet out as a table of data."""
    return fleet_table(form, request.visitor.shop, timezone.localdate())


@require_safe
@reader
@asked_by(DueForm, "pages/fleet/due.html")
def due(request: PageRequest, form: DueForm) -> HttpResponse:
    """List what is due, the most urgent first."""
    handle = request.visitor.shop
    asked = form.asked(practice_of(handle))
    rows, following = _due(form, handle, asked)
    shown = {
        "form": form,
        "rows": due_list(rows, asked),
        "following": following,
        "is_empty": not rows and not _has_skis(handle),
        "asked": asked,
        "soon": form.query(within=SOON_DAYS),
    }
    return render(request, "pages/fleet/due.html", shown)


def _due(form: DueForm, handle: str, asked: Asked) -> tuple[list[Row], str]:
    after = DuePlace(*read_place(BY_URGENCY, form.place, within=handle)) if form.place else None
    selection, size = form.selection, SKIS_ON_A_PAGE + 1
    found = due_rows(handle, asked, KEPT, selection=selection, after=after, size=size)
    return _page(found, form, BY_URGENCY, on=asked.on.isoformat())


@require_safe
@reader
@asked_by(DueForm, "pages/fleet/due.html")
def due_csv(request: PageRequest, form: DueForm) -> HttpResponseBase:
    """Hand out what is due as a table of data."""
    handle = request.visitor.shop
    return due_table(form, handle, form.asked(practice_of(handle)))


@require_safe
@reader
@asked_by(OutlookForm, "pages/fleet/outlook.html")
def outlook(request: PageRequest, form: OutlookForm) -> HttpResponse:
    """Show how many skis will be below the shop's least, month by month."""
    today = timezone.localdate()
    found = outlook_of(request.visitor.shop, form.asked(today))
    shown = {"form": form, "outlook": found, "unit": request.visitor.unit}
    return render(request, "pages/fleet/outlook.html", shown)


@require_safe
@reader
@asked_by(PairsForm, "pages/fleet/pairs.html")
def pairs(request: PageRequest, form: PairsForm) -> HttpResponse:
    """Compare the pairs of the fleet."""
    visitor = request.visitor
    found = pairs_page(visitor.shop, form.cleaned_data["tag"], form.place, visitor.unit)
    following = form.query(after=found.after) if found.after else ""
    shown = {"form": form, "page": found, "following": following, "unit": visitor.unit}
    return render(request, "pages/fleet/pairs.html", shown)


@require_safe
@reader
@asked_by(FilterForm, "pages/fleet/rates.html")
def rates(request: PageRequest, form: FilterForm) -> HttpResponse:
    """Show what operations and services take off here."""
    found = rates_of(request.visitor.shop)
    shown = {"form": form, "rates": found, "unit": request.visitor.unit}
    return render(request, "pages/fleet/rates.html", shown)


def _page(found: Iterable[Row], form: PagedForm, sort: str, **more: str) -> tuple[list[Row], str]:
    """Take the rows of a page, and the query of the next one; "" on the last."""
    rows, last = first_rows(found, SKIS_ON_A_PAGE)
    if last is None:
        return rows, ""
    return rows, form.query(after=write_place(sort, *last[:2]), **more)


def _has_skis(handle: str) -> bool:
    return Condition.objects.fleet_of(handle).exists()

"""A shop's own fleet: listed, due, to come, and what services take off it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from django.http import StreamingHttpResponse
from django.http.response import HttpResponseBase
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from apps.api import contract_fleet
from apps.api.addresses import next_page
from apps.api.csv_lines import CsvRenderer, csv_answer, wants_csv
from apps.api.fleet_columns import NAMES, cells_of
from apps.api.fleet_due import CSV_NAMES, csv_cells, due_row
from apps.api.fleet_outlook import OutlookQuery, outlook_answer, rates_answer
from apps.api.fleet_query import DueQuery, FleetPageQuery, FleetQuery, place_after
from apps.api.operations import Operation
from apps.api.rendering import JSONRenderer
from apps.api.views.base import ApiView
from apps.registry.fleet import Place, Row, fleet_rows
from apps.registry.fleet_columns import kept_columns, known
from apps.registry.fleet_due import Asked, DuePlace, due_rows
from apps.registry.fleet_places import write_place
from apps.registry.fleet_reasons import KEPT, Kept
from apps.registry.practices import practice_of


class TableView(ApiView):
    """A view that answers with a table of JSON or CSV."""

    renderer_classes: tuple[type[JSONRenderer], ...] = (JSONRenderer, CsvRenderer)

    def finalize_response(self, request: Request, response: Any, *args: Any, **kwargs: Any) -> Any:
        """Put no ETag on a table that is written while it is sent: its end isn't known yet."""
        if isinstance(response, StreamingHttpResponse):
            whole: Any = response
            final: Any = APIView.finalize_response(self, request, whole, *args, **kwargs)
            final.headers["Cache-Control"] = "private, no-store"
        else:
            final = super().finalize_response(request, response, *args, **kwargs)
        final.headers["Vary"] = "Authorization, Accept"
        return final


def page_of(
    request: Request, query: FleetPageQuery, rows: list[Any], sort: str
) -> tuple[list[Any], dict[str, object]]:
    """Take the rows of a page, of which one more was read, and the address of the next."""
    shown = rows[: query.size]
    if len(rows) <= query.size:
        return shown, {}
    last = shown[-1]
    after = write_place(sort, last[0], last[1])
    return shown, {"next": next_page(request.path, request.GET, after=after, as_of=query.on)}


def as_json(document: dict[str, object]) -> Response:
    """Answer with JSON, also where the parameter asks for it and the Accept header doesn't."""
    return Response(document, content_type=JSONRenderer.media_type)


class FleetList(TableView):
    """The skis of the fleet."""

    operations: Mapping[str, Operation] = {"GET": contract_fleet.LIST}

    def get(self, request: Request) -> HttpResponseBase:
        """List them, a page at a time, or all as a table."""
        query = self.query_as(FleetQuery)
        if wants_csv(request, query.format):
            cells = ([*cells_of(row).values()] for row in self.rows(request, query, query.limit))
            return csv_answer(NAMES, cells, filename="fleet.csv")
        found = list(self.rows(request, query, query.size + 1))
        shown, more = page_of(request, query, found, query.sort)
        items = [known(cells_of(row)) for row in shown]
        return as_json({"as_of": query.on.isoformat(), "items": items, **more})

    def rows(self, request: Request, query: FleetQuery, size: int | None) -> Iterator[Row]:
        """Read them."""
        handle = self.actor(request).handle
        after = None
        if query.after is not None:
            after = Place(*place_after(query.sort, query.after, within=handle))
        skis, columns = query.selection.of(handle), kept_columns(query.on)
        return fleet_rows(skis, query.order, columns, after=after, size=size)


class FleetDue(TableView):
    """The skis that are due."""

    operations: Mapping[str, Operation] = {"GET": contract_fleet.DUE_LIST}

    def get(self, request: Request) -> HttpResponseBase:
        """List them, the most urgent first."""
        query, handle = self.query_as(DueQuery), self.actor(request).handle
        asked = Asked(query.on, query.within_days, practice_of(handle))
        if wants_csv(request, query.format):
            rows = self.rows(query, handle, asked, query.limit)
            lines = (csv_cells(due_row(row, asked)) for row in rows)
            return csv_answer(CSV_NAMES, lines, filename="due.csv")
        found = list(self.rows(query, handle, asked, query.size + 1))
        shown, more = page_of(request, query, found, "-urgency")
        items = [due_row(row, asked) for row in shown]
        page = {"as_of": asked.on.isoformat(), "until": asked.until.isoformat()}
        return as_json({**page, "items": items, **more})

    def rows(self, query: DueQuery, handle: str, asked: Asked, size: int | None) -> Iterator[Kept]:
        """Read them."""
        after = None
        if query.after is not None:
            after = DuePlace(*place_after("-urgency", query.after, within=handle))
        selection = query.selection
        rows = due_rows(handle, asked, KEPT, selection=selection, after=after, size=size)
        return (Kept(*row) for row in rows)


class FleetOutlook(ApiView):
    """What is to come of the fleet."""

    operations: Mapping[str, Operation] = {"GET": contract_fleet.OUTLOOK}

    def get(self, request: Request) -> Response:
        """Reckon it."""
        query = self.query_as(OutlookQuery)
        return Response(outlook_answer(self.actor(request).handle, query))


class FleetRates(ApiView):
    """What operations and services take off here."""

    operations: Mapping[str, Operation] = {"GET": contract_fleet.RATES}

    def get(self, request: Request) -> Response:
        """Show it."""
        return Response(rates_answer(self.actor(request).handle))

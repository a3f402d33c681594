"""Whole files in and out: imports, their template, exports."""

from __future__ import annotations

from collections.abc import Mapping

from django.http.response import HttpResponseBase
from rest_framework.request import Request
from rest_framework.response import Response

from apps.api import contract_exports
from apps.api.csv_lines import MEDIA_TYPE, CsvRenderer
from apps.api.imports import (
    ExportQuery,
    ImportQuery,
    TemplateQuery,
    answer_lines,
    begun,
    form_of,
    refusal,
)
from apps.api.ndjson import Chunks, NdjsonRenderer, ndjson_answer
from apps.api.operations import Operation
from apps.api.rendering import JSONRenderer, Verbatim
from apps.api.spool import IMPORT_BYTES, spooled
from apps.api.views.fleet import TableView
from apps.exchange.exports import export_lines, exported, log_range
from apps.exchange.imports import ImportRefused, Source, run_import
from apps.exchange.visit_cells import Delimiter
from apps.exchange.visit_rows import template
from apps.registry.actors import Scope
from apps.registry.models import Record


class ImportCollection(TableView):
    """What shops bring with them."""

    operations: Mapping[str, Operation] = {"POST": contract_exports.IMPORT}
    renderer_classes = (NdjsonRenderer, JSONRenderer)
    max_bytes = IMPORT_BYTES

    def post(self, request: Request) -> HttpResponseBase:
        """Import a file."""
        query = self.query_as(ImportQuery)
        form = form_of(request, query)
        file = spooled(request)
        try:
            source = Source(file, self.actor(request), form)
            lines = answer_lines(begun(run_import(source, whole=query.whole)))
        except BaseException as error:
            file.close()
            if isinstance(error, ImportRefused):
                raise refusal(error) from error
            raise
        return ndjson_answer(Chunks(lines, file.close))


class ImportTemplate(TableView):
    """What a table of visits begins with."""

    operations: Mapping[str, Operation] = {"GET": contract_exports.TEMPLATE}
    renderer_classes = (CsvRenderer, JSONRenderer)

    def get(self, _request: Request) -> Response:
        """Show it."""
        heading = template(Delimiter(self.query_as(TemplateQuery).delimiter))
        headers = {"Content-Disposition": 'attachment; filename="visits.csv"'}
        return Response(Verbatim(heading), headers=headers, content_type=MEDIA_TYPE)


class ExportCollection(TableView):
    """What a shop takes with it."""

    operations: Mapping[str, Operation] = {"GET": contract_exports.EXPORT}
    renderer_classes = (NdjsonRenderer, JSONRenderer)

    def get(self, request: Request) -> HttpResponseBase:
        """Export it."""
        query, actor = self.query_as(ExportQuery), self.actor(request)
        is_feed = Scope.FEED in actor.scopes
        records = Record.objects.all() if is_feed else exported(actor.handle)
        lines = export_lines(records, log_range(query.start, query.until))
        return ndjson_answer(Chunks(lines), filename="records.ndjson")

"""An import over HTTP: what may be asked, and the answer with a line for each line sent."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import chain, islice
from typing import Any, Literal

from pydantic import Field
from rest_framework.request import Request

from apps.api.csv_lines import MEDIA_TYPE as CSV
from apps.api.problem_types import INVALID_PARAMETERS, UNSUPPORTED_MEDIA_TYPE
from apps.api.problems import Mistake, Problem, kind_of_code, problem_of
from apps.api.query import Flag, Position, Query
from apps.api.rendering import dumps
from apps.exchange.exports import MEDIA_TYPE as NDJSON
from apps.exchange.import_results import Counts, LineFault, Outcome, Result
from apps.exchange.imports import ImportRefused
from apps.exchange.visit_cells import DateOrder, DecimalMark, Delimiter, TableForm
from apps.registry.errors import RegistryError

LINES_AT_ONCE = 100
TABLE_ONLY = "This goes with a table (`text/csv`) only; leave it out."


class TemplateQuery(Query):
    """How the template of a table is to be written."""

    delimiter: Literal["comma", "semicolon", "tab"] = Field(
        default="comma", description="What stands between two cells."
    )


class ImportQuery(Query):
    """How a file is to be read and written."""

    whole: Flag = Field(
        default=False, description="`true` writes all lines or none; else each one that can be."
    )
    decimal: Literal["point", "comma"] | None = Field(
        default=None, description="For a table: what stands before decimals; `point` if left out."
    )
    dates: Literal["iso", "day-first"] | None = Field(
        default=None,
        description="For a table: `iso` (2025-01-31) or `day-first` (31.01.2025); `iso` if left "
        "out.",
    )
    delimiter: Literal["comma", "semicolon", "tab"] | None = Field(
        default=None,
        description="For a table: what stands between two cells; `comma` if left out.",
    )

    @property
    def table(self) -> TableForm:
        """How a table is written."""
        return TableForm(
            DecimalMark(self.decimal or "point"),
            DateOrder(self.dates or "iso"),
            Delimiter(self.delimiter or "comma"),
        )


class ExportQuery(Query):
    """Which stretch of the log is exported."""

    start: Position = Field(
        default=0, alias="from", description="Log position of the first record that may be in it."
    )
    until: Position | None = Field(
        default=None, description="Log positions below this one; all there are when left out."
    )


def form_of(request: Request, query: ImportQuery) -> TableForm | None:
    """Say how the body is written; None for lines of JSON.

    Raises
    ------
    Problem
        `unsupported-media-type`; `invalid-parameters` for a table's parameter without a table.
    """
    media_type = str(request.content_type or "").partition(";")[0].strip().lower()
    if media_type == CSV:
        return query.table
    if media_type != NDJSON:
        sentence = f"Send lines of JSON as {NDJSON}, or a table as {CSV}."
        raise Problem(UNSUPPORTED_MEDIA_TYPE, sentence)
    given = [name for name in ("decimal", "dates", "delimiter") if getattr(query, name)]
    if given:
        mistakes = [Mistake("table-only", TABLE_ONLY, parameter=name) for name in given]
        raise Problem(INVALID_PARAMETERS, TABLE_ONLY, mistakes=mistakes)
    return None


def begun(results: Iterator[Result]) -> Iterator[Result]:
    """Write the first batch now, so that what stops the import at once still gives a status."""
    first = list(islice(results, 1))
    return chain(first, results)


def answer_lines(results: Iterable[Result]) -> Iterator[bytes]:
    """Write a line for each result, and a last one that says how many there were of each.

    What stops the import on its way is told in the last line: the status was sent long before.
    """
    counts = Counts()
    end: dict[str, object] = {}
    rest = iter(results)
    try:
        while some := list(islice(rest, LINES_AT_ONCE)):
            for one in some:
                counts.add(one)
            yield b"".join(dumps(line_members(one)) + b"\n" for one in some)
    except RegistryError as error:
        problem = problem_of(error)
        if problem is None:
            raise
        end = {"stopped": problem_members(problem)}
    counted = {
        "created": counts.created,
        "already_here": counts.already_here,
        "refused": counts.refused,
        "skipped": counts.skipped,
    }
    yield dumps({"end": {**counted, **end}}) + b"\n"


def line_members(result: Result) -> dict[str, object]:
    """Give the members of an answer's line."""
    shown: dict[str, object] = {"line": result.line, "result": str(result.outcome)}
    if result.outcome is Outcome.SKIPPED:
        return {**shown, "reason": result.reason}
    if result.outcome is Outcome.REFUSED:
        return {**shown, "problem": problem_members(_problem([result], len(result.faults)))}
    first, *also = result.records
    return {**shown, "id": first, **({"also": also} if also else {})}


def problem_members(problem: Problem) -> dict[str, Any]:
    """Give a problem as a part of an answer: without what the answer as a whole says."""
    kind = problem.kind
    members: dict[str, Any] = {
        "type": kind.uri,
        "title": kind.title,
        "status": kind.status,
        "detail": problem.detail,
    }
    if problem.mistakes:
        members["errors"] = [mistake.shown() for mistake in problem.mistakes]
    return members


def refusal(error: ImportRefused) -> Problem:
    """Give the problem of a file of which nothing was written."""
    return _problem(error.results, error.count, with_lines=True)


def _problem(results: list[Result], count: int, *, with_lines: bool = False) -> Problem:
    faults = [(one.line if with_lines else None, fault) for one in results for fault in one.faults]
    mistakes = [_mistake(line, fault) for line, fault in faults]
    detail = mistakes[0].detail
    if count > 1:
        detail = f"{count} things need mending; see `errors`."
    if count > len(mistakes):
        detail = f"{count} things need mending; `errors` has the first {len(mistakes)}."
    return Problem(kind_of_code(results[0].refusal), detail, mistakes=mistakes)


def _mistake(line: int | None, fault: LineFault) -> Mistake:
    return Mistake(
        fault.code,
        fault.sentence,
        pointer=fault.pointer or None,
        line=line,
        column=fault.column or None,
    )

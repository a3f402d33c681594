"""The operations that carry whole files: import, its template, export."""

from __future__ import annotations

import json

from apps.api import problem_types as types
from apps.api.answers.records import EXAMPLE_SIGNATURE
from apps.api.csv_lines import MEDIA_TYPE as CSV
from apps.api.imports import ExportQuery, ImportQuery, TemplateQuery
from apps.api.openapi_texts import EXCHANGE
from apps.api.operations import WRITING, Answer, Operation
from apps.api.spool import IMPORT_BYTES
from apps.exchange.exports import MEDIA_TYPE as NDJSON
from apps.exchange.import_lines import MAX_LINE_BYTES
from apps.exchange.visit_rows import template
from apps.records.examples import RECORD, example_draft, example_record
from apps.registry.actors import Scope

OTHER_RECORD = "9d4e1e23bd5b727046a9e3b4b7db57bd8d6ee684e1c1a4e5b1f1f1c5a9d1f0a7"
SIGNED = {"record": example_record("job"), "signature": EXAMPLE_SIGNATURE}
DIGEST = "4bf5122f344554c53bde2ebb8cd2b7e3d1600ad631c385a5d7cce23c7785459a"
PAGE = "docs/importing.md"


def _lines(*documents: object) -> str:
    return "".join(f"{json.dumps(one, ensure_ascii=False)}\n" for one in documents)


IMPORT = Operation(
    id="import_records",
    tag=EXCHANGE,
    summary="Import records: lines of JSON, or a table of visits",
    description=f"The body is `{NDJSON}`, a signed record (`record`, `signature`; an export's "
    "`index` and `id` may stand beside them) or a draft (`kind` and what a single record of the "
    f"kind is sent as) on each line, up to {MAX_LINE_BYTES} bytes a line; or it is `{CSV}`, a "
    "table with one row a visit, which is checked whole before anything is written and registers "
    f"unknown own tags. The body has up to {IMPORT_BYTES // 2**20} MiB and a Content-Length. Each "
    "line passes the same checks as a record that is sent alone.\n\n"
    "The answer has a line for each line sent: `line`, `result` (`created`, `already-here`, "
    "`refused`, `skipped`), `id` (and `also`, where a row became several records), the `problem` "
    "of a refused line and the `reason` of a skipped one; its last line, `end`, counts them, and "
    "an answer without it was cut off. With `whole=true`, and for a table with faults, nothing is "
    "written and the answer is one problem whose `errors` name line and column.\n\n"
    "The same file again adds nothing: a record is known by its id, a draft by what it says. So "
    f"after a break send it again. {PAGE} in the repository has the columns.",
    answer=Answer(
        "A line for each line sent.",
        example=_lines(
            {"line": 1, "result": "created", "id": RECORD},
            {"line": 2, "result": "already-here", "id": OTHER_RECORD},
            {
                "line": 3,
                "result": "refused",
                "problem": {
                    "type": types.INVALID_FIELDS.uri,
                    "title": types.INVALID_FIELDS.title,
                    "status": types.INVALID_FIELDS.status,
                    "detail": "`kind` is missing; give it.",
                    "errors": [
                        {
                            "pointer": "/kind",
                            "code": "missing",
                            "detail": "`kind` is missing; give it.",
                        }
                    ],
                },
            },
            {"end": {"created": 1, "already_here": 1, "refused": 1, "skipped": 0}},
        ),
        media_type=NDJSON,
        is_stream=True,
    ),
    scope=Scope.WRITE,
    cost="write",
    query=ImportQuery,
    bodies={
        CSV: "date,tag,work,side_bevel_deg\r\n2025-01-31,FB-0042,stone_grind wax,2\r\n",
        # A generated client that knows one type for both takes the last one.
        NDJSON: _lines(SIGNED, {"kind": "job", **example_draft("job")}),
    },
    problems=(*WRITING, types.TAG_EXISTS, types.ERASED),
)

TEMPLATE = Operation(
    id="read_import_template",
    tag=EXCHANGE,
    summary="Download the heading of a table of visits",
    description="One line with the names of all columns. `date` and `tag` are needed; of the "
    f"others leave out what you don't keep. {PAGE} in the repository says what each one means.",
    answer=Answer("The heading.", example=template().decode(), media_type=CSV),
    query=TemplateQuery,
)

EXPORT = Operation(
    id="export_records",
    tag=EXCHANGE,
    summary="Export records with their signatures",
    description="What the shop wrote and what anybody wrote about its tags, in the order of the "
    "log, a record a line: `index`, `id`, `signature` and `record`, byte for byte as it was "
    "signed. One that was erased has `erased_by` in place of the last two. A key with the scope "
    "`feed` gets the whole log. The last line, `end`, has `count`, `digest` (SHA-256 of all bytes "
    "before that line), `from` and `until`; an answer without it was cut off. `POST /imports` "
    "takes such a file.",
    answer=Answer(
        "A line for each record.",
        example=_lines(
            {"index": 41, "id": RECORD, **SIGNED},
            {"index": 42, "id": OTHER_RECORD, "erased_by": RECORD},
            {"end": {"count": 2, "digest": DIGEST, "from": 0, "until": 43}},
        ),
        media_type=NDJSON,
        is_stream=True,
    ),
    other_scope=Scope.FEED,
    query=ExportQuery,
)

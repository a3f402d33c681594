"""Importing over HTTP: a line for each line sent, or one problem that names line and column."""

from __future__ import annotations

import io
import json
from typing import Any

import pytest
from django.core.handlers.wsgi import WSGIRequest
from rest_framework.request import Request

from apps.api import spool
from apps.api.problem_types import BAD_REQUEST
from apps.api.problems import Problem
from apps.exchange.importing import BATCH
from apps.exchange.visit_columns import COLUMNS
from apps.registry.actors import Scope
from apps.registry.errors import StorageBusy
from apps.registry.models import Record
from tests.api.client import Answered, ApiClient
from tests.api.making import DAY, TAG, a_client, draft

NDJSON = "application/x-ndjson"
CSV = "text/csv"
HEADING = "date,tag,work,side_bevel_deg\r\n"


def post(
    client: ApiClient, body: bytes, query: str = "", content_type: str = NDJSON, **headers: str
) -> Answered:
    """Send a file."""
    return client.send("POST", f"imports{query}", body, content_type, **headers)


def lines_of(answer: Answered) -> list[Any]:
    """The lines of an answer."""
    assert (answer.status, answer.headers["Content-Type"]) == (200, NDJSON), answer.content
    return [json.loads(line) for line in answer.content.splitlines()]


def usage(days: int, **more: Any) -> bytes:
    """A draft as a line."""
    members = draft("usage", body={"days": days}, **more)
    return json.dumps({"kind": "usage", **members}).encode() + b"\n"


def test_each_line_sent_is_answered_with_a_line(client: ApiClient, ski: str) -> None:
    answer = post(client, usage(1) + usage(1) + b"{}\n" + b'{"erased_by": "x"}\n' + usage(2))
    first, second, third, fourth, fifth, end = lines_of(answer)
    written = Record.objects.get(id=first["id"])
    assert first == {"line": 1, "result": "created", "id": written.id}
    assert second == {"line": 2, "result": "already-here", "id": written.id}
    problem = third.pop("problem")
    assert third == {"line": 3, "result": "refused"}
    assert problem["type"].endswith("#invalid-fields")
    assert problem["errors"][0]["pointer"] == "/kind"
    assert fourth.pop("reason").startswith("This record was erased")
    assert (fourth, fifth["result"]) == ({"line": 4, "result": "skipped"}, "created")
    assert end == {"end": {"created": 2, "already_here": 1, "refused": 1, "skipped": 1}}
    assert answer.headers["Cache-Control"] == "private, no-store"
    assert "ETag" not in answer.headers


def test_a_refused_line_carries_the_problem_a_single_record_would_get(
    client: ApiClient, ski: str
) -> None:
    wrong = draft("usage", body={"days": -1}, tag="FB-9", author="tarnedge")
    alone = client.post("usage", wrong).json
    line, _ = lines_of(post(client, json.dumps({"kind": "usage", **wrong}).encode()))
    assert {**line["problem"], "instance": "/api/v1/usage"}.items() <= alone.items()
    unknown = draft("usage", tag="FB-9")
    alone = client.post("usage", unknown).json
    line, _ = lines_of(post(client, json.dumps({"kind": "usage", **unknown}).encode()))
    assert line["problem"].items() <= alone.items()


def test_a_table_is_a_row_a_visit(client: ApiClient) -> None:
    table = (HEADING + "2025-01-31,fb-1,stone_grind wax,2\r\n").encode()
    first, end = lines_of(post(client, table, content_type=CSV))
    kinds = Record.objects.in_bulk([first["id"], *first["also"]])
    assert [kinds[one].kind for one in [first["id"], *first["also"]]] == ["description", "job"]
    assert (first["line"], end["end"]["created"]) == (2, 1)
    again, _ = lines_of(post(client, table, content_type="text/csv; charset=utf-8"))
    assert again == {"line": 2, "result": "already-here", "id": first["also"][0]}
    assert client.get("skis/fellbench/FB-1").status == 200


def test_a_table_with_faults_is_one_problem_with_rows_and_columns(client: ApiClient) -> None:
    rows = "2025-01-31,fb-1,wax,2\r\n2025-13-01,fb-2,ston_grind,2\r\n2025-01-31,fb-3,wax,45\r\n"
    answer = post(client, (HEADING + rows).encode(), content_type=CSV)
    assert (answer.status, answer.slug) == (400, "invalid-fields")
    told = [(one["line"], one["column"], one["code"]) for one in answer.json["errors"]]
    assert told == [
        (3, "date", "not-a-date"),
        (3, "work", "unknown-word"),
        (4, "side_bevel_deg", "out-of-range"),
    ]
    assert answer.json["detail"].startswith("3 things need mending")
    assert not Record.objects.filter(subject__isnull=False).exists()


def test_more_faults_than_are_listed_are_counted(client: ApiClient) -> None:
    answer = post(client, (HEADING + "x,fb-1,wax,2\r\n" * 300).encode(), content_type=CSV)
    assert len(answer.json["errors"]) == 200
    assert answer.json["detail"] == "300 things need mending; `errors` has the first 200."


def test_a_continental_table_is_read_as_announced(client: ApiClient) -> None:
    table = b"date;tag;side_bevel_deg\r\n31.01.2025;fb-1;2,5\r\n"
    query = "?decimal=comma&dates=day-first&delimiter=semicolon"
    first, _ = lines_of(post(client, table, query, CSV))
    record = json.loads(bytes(Record.objects.get(id=first["also"][0]).document))
    assert record["performed_at"] == DAY
    assert record["body"]["bevel_settings"][0]["side_bevel_deg"] == "2.50"
    assert post(client, table, "", CSV).status == 400


def test_all_or_nothing(client: ApiClient, ski: str) -> None:
    answer = post(client, usage(1) + usage(2, tag="FB-9"), "?whole=true")
    assert (answer.status, answer.slug) == (422, "unknown-reference")
    assert [(one["line"], one["pointer"]) for one in answer.json["errors"]] == [(2, "/ski")]
    assert Record.objects.filter(kind="usage").count() == 0
    *_, end = lines_of(post(client, usage(1) + usage(2), "?whole=true"))
    assert end["end"]["created"] == 2


@pytest.mark.parametrize("content_type", ["application/json", "text/plain", "", "text/csvx"])
def test_other_media_types_are_refused(client: ApiClient, content_type: str) -> None:
    answer = post(client, usage(1), content_type=content_type)
    assert (answer.status, answer.slug) == (415, "unsupported-media-type")
    assert "application/x-ndjson" in answer.json["detail"]


def test_other_characters_than_utf_8_are_refused_at_once(client: ApiClient) -> None:
    answer = post(client, b"date,tag\r\n", content_type="text/csv; charset=windows-1252")
    assert answer.status == 415
    assert post(client, usage(1), **{"Content-Encoding": "gzip"}).status == 415


@pytest.mark.parametrize("query", ["?decimal=point", "?dates=iso", "?delimiter=tab"])
def test_what_goes_with_a_table_goes_with_nothing_else(client: ApiClient, query: str) -> None:
    answer = post(client, usage(1), query)
    assert (answer.status, answer.slug) == (400, "invalid-parameters")


@pytest.mark.parametrize("query", ["?decimal=dot", "?dates=us", "?whole=yes", "?speed=1"])
def test_an_unknown_parameter_is_refused(client: ApiClient, query: str) -> None:
    assert post(client, b"date,tag\r\n", query, CSV).slug == "invalid-parameters"


def test_an_import_needs_the_scope_to_write(reader: ApiClient, nobody: ApiClient) -> None:
    assert post(reader, usage(1)).status == 403
    assert post(nobody, usage(1)).status == 401


def test_a_file_that_is_too_large_is_refused_by_its_announced_length(client: ApiClient) -> None:
    length = str(spool.IMPORT_BYTES + 1)
    assert post(client, usage(1), **{"Content-Length": length}).slug == "too-large"


def test_a_body_that_was_cut_on_its_way_is_refused() -> None:
    sent = {"CONTENT_LENGTH": "4000", "REQUEST_METHOD": "POST", "wsgi.input": io.BytesIO(b"{}")}
    with pytest.raises(Problem) as caught:
        spool.spooled(Request(WSGIRequest(sent)))
    assert caught.value.kind is BAD_REQUEST
    assert "ended after 2 of 4000 bytes" in caught.value.detail


def test_a_full_disk_is_told(client: ApiClient, monkeypatch: pytest.MonkeyPatch) -> None:
    class Full:
        def write(self, _data: bytes) -> int:
            raise OSError(28, "No space left on device")

        def close(self) -> None:
            """Nothing to close."""

    monkeypatch.setattr("apps.api.spool.tempfile.TemporaryFile", Full)
    assert post(client, usage(1)).slug == "storage-full"


def test_what_stops_the_import_at_once_gives_the_status(
    client: ApiClient, ski: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def busy(**_given: Any) -> Any:
        raise StorageBusy("The database is busy.")

    monkeypatch.setattr("apps.exchange.importing.write_drafts", busy)
    assert post(client, usage(1)).slug == "storage-busy"


def test_what_stops_the_import_on_its_way_is_told_in_the_last_line(
    client: ApiClient, ski: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    from apps.registry import actions

    calls: list[int] = []

    def busy(**given: Any) -> Any:
        calls.append(1)
        if len(calls) > 1:
            raise StorageBusy("The database is busy.")
        return actions.write_drafts(**given)

    monkeypatch.setattr("apps.exchange.importing.write_drafts", busy)
    jobs = [draft("job", body={"remarks": f"no. {n}"}) for n in range(BATCH + 5)]
    body = b"".join(json.dumps({"kind": "job", **one}).encode() + b"\n" for one in jobs)
    answer = post(client, body)
    *rest, end = lines_of(answer)
    assert len(rest) == BATCH
    assert end["end"]["created"] == BATCH
    assert end["end"]["stopped"]["type"].endswith("#storage-busy")


def test_an_error_nobody_foresaw_leaves_no_last_line(
    client: ApiClient, ski: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    from apps.registry.errors import RegistryError

    def broken(**_given: Any) -> Any:
        raise RegistryError("Nobody knows this one.")

    answer = post(client, usage(1))
    assert answer.status == 200
    monkeypatch.setattr("apps.exchange.importing.write_drafts", broken)
    with pytest.raises(RegistryError):
        post(client, usage(2))


@pytest.mark.parametrize(
    ("query", "mark"), [("", ","), ("?delimiter=semicolon", ";"), ("?delimiter=tab", "\t")]
)
def test_the_template_has_all_columns(client: ApiClient, query: str, mark: str) -> None:
    answer = client.get(f"imports/template{query}")
    assert (answer.status, answer.headers["Content-Type"]) == (200, CSV)
    assert answer.content.decode() == mark.join(COLUMNS) + "\r\n"
    assert "visits.csv" in answer.headers["Content-Disposition"]
    assert client.get(f"imports/template{query}", Accept=CSV).content == answer.content


def test_a_shop_imports_its_own_export(client: ApiClient, ski: str) -> None:
    client.post("usage", draft("usage"))
    exported = client.get("exports").content
    *results, end = lines_of(post(client, exported))
    assert [one["result"] for one in results] == ["already-here", "already-here", "skipped"]
    assert end["end"] == {"created": 0, "already_here": 2, "refused": 0, "skipped": 1}


@pytest.mark.parametrize("change", ["missing", "doubled", "changed", "broken"])
def test_an_export_that_was_changed_is_refused_whole(
    client: ApiClient, ski: str, change: str
) -> None:
    client.post("usage", draft("usage"))
    first, second, end = client.get("exports").content.splitlines(keepends=True)
    changed = {
        "missing": first + end,
        "doubled": first + second + second + end,
        "changed": first.replace(b'"index":', b'"index": ') + second + end,
        "broken": first + second + b'{"end": {\n',
    }
    answer = post(client, changed[change])
    assert (answer.status, answer.json["errors"][0]["code"]) == (400, "wrong-digest")


def test_another_shops_records_are_not_imported(client: ApiClient, ski: str) -> None:
    other = a_client("tarnedge", Scope.READ, Scope.WRITE)
    client.post("usage", draft("usage"))
    exported = client.get("exports").content
    *results, _ = lines_of(post(other, exported))
    # They are here already, which is all that their reader may be told of them.
    assert {one["result"] for one in results[:-1]} <= {"refused"}
    assert TAG in exported.decode()

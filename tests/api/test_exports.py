"""An export has every record once, byte for byte, closed by count, digest and range."""

from __future__ import annotations

import base64
import csv
import hashlib
import io
import json
from typing import Any

import pytest

from apps.exchange import exports
from apps.exchange.exports import LogRange, export_lines, log_range
from apps.records.signing import PublicKey
from apps.registry.actors import OPERATOR, Scope
from apps.registry.csv_lines import FORMULA_STARTS
from apps.registry.erasing import erase_record
from apps.registry.models import Record, SigningKey
from tests.api.client import ApiClient
from tests.api.making import a_client, draft, register, write


def lines_of(data: bytes) -> tuple[list[Any], dict[str, Any]]:
    """The records of an export and what its last line says, which must be true."""
    *lines, last = data.splitlines(keepends=True)
    end = json.loads(last)["end"]
    assert last.endswith(b"\n")
    assert end["digest"] == hashlib.sha256(b"".join(lines)).hexdigest()
    assert end["count"] == len(lines)
    return [json.loads(line) for line in lines], end


def test_an_export_has_own_records_in_the_order_of_the_log(client: ApiClient, ski: str) -> None:
    write(client, "usage", draft("usage"))
    answer = client.get("exports")
    assert answer.headers["Content-Type"] == "application/x-ndjson"
    assert "records.ndjson" in answer.headers["Content-Disposition"]
    assert "ETag" not in answer.headers
    records, end = lines_of(answer.content)
    assert [one["record"]["kind"] for one in records] == ["description", "usage"]
    assert [one["index"] for one in records] == sorted(one["index"] for one in records)
    assert (end["from"], end["until"]) == (0, Record.objects.count())


def test_each_line_holds_the_signed_bytes(client: ApiClient, ski: str) -> None:
    write(client, "jobs", draft("job"))
    for line in client.get("exports").content.splitlines()[:-1]:
        record = json.loads(line)
        stored = bytes(Record.objects.get(id=record["id"]).document)
        assert stored in line
        assert hashlib.sha256(stored).hexdigest() == record["id"]
        key = SigningKey.objects.get(key_id=record["record"]["key"])
        assert PublicKey(bytes(key.public)).verify(stored, record["signature"]).holds


def test_what_another_shop_wrote_on_an_own_tag_is_in_it_and_nothing_else_of_it(
    client: ApiClient, other: ApiClient, ski: str
) -> None:
    register(other, "T-1")
    write(other, "jobs", draft("job"))
    own, _ = lines_of(client.get("exports").content)
    assert [one["record"]["author"] for one in own] == [client.handle, other.handle]
    theirs, _ = lines_of(other.get("exports").content)
    assert {one["record"]["author"] for one in theirs} == {other.handle}


def test_a_stretch_of_the_log_is_exported(client: ApiClient, ski: str) -> None:
    places = [write(client, "usage", draft("usage")).json["log_index"] for _ in range(4)]
    query = f"exports?from={places[1]}&until={places[3]}"
    records, end = lines_of(client.get(query).content)
    assert [one["index"] for one in records] == places[1:3]
    assert (end["from"], end["until"]) == (places[1], places[3])
    assert lines_of(client.get(f"exports?from={places[3] + 1}").content)[0] == []
    assert client.get("exports?from=-1").slug == "invalid-parameters"
    assert client.get("exports?form=1").slug == "invalid-parameters"


def test_a_bound_beyond_the_log_ends_with_the_log(client: ApiClient, ski: str) -> None:
    _, end = lines_of(client.get("exports?until=999999").content)
    assert end["until"] == Record.objects.count()


def test_what_is_written_meanwhile_is_beyond_the_bound(client: ApiClient, ski: str) -> None:
    stretch = log_range(None, None)
    lines = export_lines(Record.objects.all(), stretch)
    first = next(lines)
    write(client, "usage", draft("usage"))
    records, end = lines_of(first + b"".join(lines))
    assert (len(records), end["until"]) == (stretch.until, stretch.until)


def test_pages_of_any_size_give_the_same_export(
    client: ApiClient, ski: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    for _ in range(5):
        write(client, "usage", draft("usage"))
    whole = client.get("exports").content
    for size in (1, 2, 3):
        monkeypatch.setattr(exports, "PAGE", size)
        assert client.get("exports").content == whole


def test_an_empty_stretch_has_its_end_only(db: None) -> None:
    records, end = lines_of(b"".join(export_lines(Record.objects.all(), LogRange(0, 0))))
    # The digest of nothing: FIPS 180-4, as NIST's example values for SHA-256 give it.
    assert (records, end["digest"][:16]) == ([], "e3b0c44298fc1c14")


def test_the_digest_is_the_one_of_the_standard(ski: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """RFC 9530 appendix B.1: a body of one line, and its SHA-256 in base64."""
    monkeypatch.setattr(exports, "export_line", lambda _row: b'{"hello": "world"}\n')
    records = Record.objects.of_kind("description")
    _, end = lines_of(b"".join(export_lines(records, log_range(None, None))))
    digest = base64.b64encode(bytes.fromhex(end["digest"])).decode()
    assert f"sha-256=:{digest}:" == "sha-256=:RK/0qy18MlBSVnWgjwz6lZEWjP/lF5HF9bvEF8FabDg=:"


def test_an_erased_record_keeps_its_place(client: ApiClient, ski: str) -> None:
    written = write(client, "usage", draft("usage")).json
    erased = erase_record(
        record_id=written["id"], reason="personal_data", reason_text=None, by=OPERATOR
    )
    records, _ = lines_of(client.get("exports").content)
    line = next(one for one in records if one["id"] == written["id"])
    assert line == {
        "index": written["log_index"],
        "id": written["id"],
        "erased_by": erased.record_id,
    }


def test_a_key_for_the_feed_gets_the_whole_log(client: ApiClient, ski: str) -> None:
    feed = a_client("node", Scope.FEED, new=False)
    records, _ = lines_of(feed.get("exports").content)
    assert len(records) == Record.objects.count()
    assert {one["record"]["kind"] for one in records} >= {"key", "description"}


def test_a_key_that_may_only_write_gets_none(client: ApiClient, nobody: ApiClient) -> None:
    assert a_client("fellbench", Scope.WRITE, new=False).get("exports").status == 403
    assert nobody.get("exports").status == 401


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1+2", "@SUM(A1)", "=HYPERLINK(1)"])
def test_no_cell_of_an_export_begins_like_a_formula(client: ApiClient, ski: str, text: str) -> None:
    write(client, "jobs", draft("job", body={"remarks": text}))
    data = client.get("exports").content
    assert json.loads(data.splitlines()[1])["record"]["body"]["remarks"] == text
    # Opened as a table by mistake, every line begins with a brace and every cell with a quote.
    cells = [cell for row in csv.reader(io.StringIO(data.decode())) for cell in row]
    assert [cell for cell in cells if cell.startswith(FORMULA_STARTS)] == []

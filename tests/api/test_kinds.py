"""Every kind of record: written, read by id, listed; its bytes come back as they were signed."""

from __future__ import annotations

import hashlib
import json

import pytest

from apps.api.kinds import ROUTES
from apps.records.canonical import canonical_bytes
from apps.records.signing import PublicKey
from apps.registry.models import SigningKey
from tests.api.client import Answered, ApiClient
from tests.api.making import draft, register, write

KINDS = sorted(ROUTES)


def record_bytes(answer: Answered) -> bytes:
    """The record's own bytes, cut out of the answer."""
    begin = answer.content.index(b'"record":') + len(b'"record":')
    end = answer.content.rindex(b"}")
    return answer.content[begin:end]


@pytest.mark.parametrize("kind", KINDS)
def test_a_record_is_written_and_read_back_byte_for_byte(
    kind: str, client: ApiClient, ski: str
) -> None:
    segment = ROUTES[kind].segment
    written = write(client, segment, draft(kind))
    assert written.headers["Location"] == f"/api/v1/{segment}/{written.json['id']}"
    read = client.get(written.headers["Location"])
    assert (read.status, read.content) == (200, written.content)


@pytest.mark.parametrize("kind", KINDS)
def test_the_bytes_are_canonical_and_signed(kind: str, client: ApiClient, ski: str) -> None:
    # RFC 8785 for the bytes, FIPS 180-4 for the id, RFC 8032 for the signature.
    written = write(client, ROUTES[kind].segment, draft(kind))
    data = record_bytes(written)
    assert canonical_bytes(json.loads(data)) == data
    assert hashlib.sha256(data).hexdigest() == written.json["id"]
    key = SigningKey.objects.get(key_id=written.json["record"]["key"])
    assert PublicKey(bytes(key.public)).verify(data, written.json["signature"]).holds


@pytest.mark.parametrize("kind", KINDS)
def test_a_list_holds_own_records_of_the_kind(kind: str, client: ApiClient, ski: str) -> None:
    written = write(client, ROUTES[kind].segment, draft(kind)).json
    items = client.get(ROUTES[kind].segment).json["items"]
    assert items[-1] == written
    assert {item["record"]["kind"] for item in items} == {kind}


@pytest.mark.parametrize("kind", KINDS)
def test_any_record_is_found_by_its_id_alone(kind: str, client: ApiClient, ski: str) -> None:
    written = write(client, ROUTES[kind].segment, draft(kind))
    assert client.get(f"records/{written.json['id']}").content == written.content


def test_a_record_of_another_kind_is_not_found_there(client: ApiClient, ski: str) -> None:
    job = write(client, "jobs", draft("job")).json["id"]
    answer = client.get(f"measurements/{job}")
    assert (answer.status, answer.slug) == (404, "unknown-record")


def test_numbers_are_strings_with_their_step(client: ApiClient, ski: str) -> None:
    body = {"edge": "both", "base_bevel_deg": 0.5, "side_angle_deg": 88}
    record = write(client, "bevel-settings", draft("bevel-setting", body=body)).json["record"]
    assert record["body"] == {
        "edge": "both",
        "base_bevel_deg": "0.50",
        "side_bevel_deg": "2.00",
        "basis": "set",
    }


def test_lower_case_tags_and_codes_are_completed(client: ApiClient, ski: str) -> None:
    record = write(client, "usage", draft("usage", tag="fb-0042")).json["record"]
    assert record["ski"] == {"shop": client.handle, "tag": "FB-0042"}


def test_another_shop_writes_jobs_under_its_own_name(
    client: ApiClient, other: ApiClient, ski: str
) -> None:
    record = write(other, "jobs", draft("job")).json["record"]
    assert record["author"] == other.handle
    assert client.get("jobs").json["items"] == []


def test_jobs_of_a_pair_are_written_together(client: ApiClient, ski: str) -> None:
    register(client, "FB-0043")
    jobs = {"jobs": [draft("job"), draft("job", tag="FB-0043")]}
    answer = client.post("jobs/bulk", jobs)
    assert answer.status == 201
    tags = [item["record"]["ski"]["tag"] for item in answer.json["items"]]
    assert tags == ["FB-0042", "FB-0043"]
    assert answer.headers["Location"] == f"/api/v1/jobs/{answer.json['items'][0]['id']}"


def test_one_bad_job_keeps_all_out_and_is_named_by_its_place(client: ApiClient, ski: str) -> None:
    jobs = {"jobs": [draft("job"), draft("job", tag="FB-9999")]}
    answer = client.post("jobs/bulk", jobs)
    assert (answer.status, answer.slug) == (422, "unknown-reference")
    assert answer.pointers == ["/jobs/1/ski"]
    assert client.get("jobs").json["items"] == []


@pytest.mark.parametrize("count", [0, 1, 17])
def test_too_few_or_too_many_jobs(count: int, client: ApiClient, ski: str) -> None:
    answer = client.post("jobs/bulk", {"jobs": [draft("job")] * count})
    assert (answer.status, answer.pointers) == (400, ["/jobs"])


def test_sixteen_jobs_fit(client: ApiClient, ski: str) -> None:
    answer = client.post("jobs/bulk", {"jobs": [draft("job")] * 16})
    assert (answer.status, len(answer.json["items"])) == (201, 16)


def test_faults_of_several_jobs_come_at_once(client: ApiClient, ski: str) -> None:
    first, second = draft("job", performed_at="yesterday"), draft("job", tag="fb 42")
    answer = client.post("jobs/bulk", {"jobs": [first, second]})
    assert answer.status == 400
    assert answer.pointers == ["/jobs/0/performed_at", "/jobs/1/ski/tag"]


def test_a_job_in_another_shops_name_is_named_by_its_place(
    client: ApiClient, other: ApiClient, ski: str
) -> None:
    jobs = {"jobs": [draft("job"), draft("job", author="tarnedge")]}
    answer = client.post("jobs/bulk", jobs)
    assert (answer.status, answer.pointers) == (403, ["/jobs/1/author"])


def test_of_very_many_mistakes_the_first_are_told(client: ApiClient) -> None:
    answer = client.post("jobs/bulk", {f"note{number}": "x" for number in range(10_000)})
    assert answer.json["detail"].startswith("10001 fields need mending")
    assert len(answer.json["errors"]) == 200


def test_an_unknown_field_beside_the_jobs(client: ApiClient, ski: str) -> None:
    answer = client.post("jobs/bulk", {"jobs": [draft("job")] * 2, "note": "x"})
    assert (answer.status, answer.pointers) == (400, ["/note"])


@pytest.mark.parametrize("document", [{}, {"jobs": {}}, [], {"jobs": [1, 2]}])
def test_jobs_that_are_no_list_of_objects(document: object, client: ApiClient) -> None:
    assert client.post("jobs/bulk", document).status == 400

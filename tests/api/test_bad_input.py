"""What a bench could send wrong: the status, the field, the mend, and that nothing was written."""

from __future__ import annotations

import json
from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from apps.registry.models import Job, LogHead, Record
from tests.api.client import ROOT, Answered, ApiClient
from tests.api.making import draft, write

EDGE_HEIGHT = {"quantity": "edge_height_mm", "edge": "left"}
BEVEL = {"edge": "both"}

# segment, body, pointer below /body, part of the sentence
BAD_BODIES: list[tuple[str, dict[str, Any], str, str]] = [
    ("measurements", {**EDGE_HEIGHT, "value": -1}, "/value", "outside 0.000 to 3.000 mm"),
    ("measurements", {**EDGE_HEIGHT, "value": 178.5}, "/value", "check the reading and its unit"),
    ("measurements", {**EDGE_HEIGHT, "value": 1.78531}, "/value", "round it"),
    ("measurements", {**EDGE_HEIGHT, "value": "1,785"}, "/value", "with a point"),
    (
        "measurements",
        {**EDGE_HEIGHT, "value": 1.785, "station": "wasit"},
        "/station",
        "is none of the words here",
    ),
    ("measurements", {"quantity": "edge_height_mm", "value": 1.785}, "/edge", "edge"),
    ("bevel-settings", {**BEVEL, "side_bevel_deg": 45}, "/side_bevel_deg", "side_angle_deg 88"),
    ("bevel-settings", {**BEVEL, "base_bevel_deg": 6}, "/base_bevel_deg", "0.00 to 5.00 deg"),
    ("bevel-settings", {**BEVEL, "side_angle_deg": 45}, "/side_angle_deg", "80.00 to 90.00"),
    (
        "bevel-settings",
        {**BEVEL, "side_bevel_deg": 2, "side_angle_deg": 87},
        "/side_angle_deg",
        "send one of the two",
    ),
    ("bevel-settings", BEVEL, "", "at least one of"),
    ("descriptions", {"length_mm": 17}, "/length_mm", "at least 300"),
    ("descriptions", {"length_mm": 1710.5}, "/length_mm", "whole number"),
    (
        "descriptions",
        {"shovel_width_mm": 121, "waist_width_mm": 130, "tail_width_mm": 103},
        "/waist_width_mm",
        "check the order of the three widths",
    ),
    ("descriptions", {"lenght_mm": 1710}, "/lenght_mm", "did you mean `length_mm`?"),
    ("descriptions", {"model_text": None}, "/model_text", "leave the field out"),
    ("descriptions", {"construction": "other"}, "/construction_text", "say here what it is"),
    ("usage", {"days": -3}, "/days", "at least 0"),
    ("usage", {"days": 9999}, "/days", "at most 400"),
    ("statuses", {"status": "retired"}, "/reason", "why the ski was retired"),
    ("jobs", {}, "", "at least one of"),
    ("jobs", {"technician": "M. Müller", "remarks": "x"}, "/technician", "alias"),
]
KIND_OF = {
    "measurements": "measurement",
    "bevel-settings": "bevel-setting",
    "descriptions": "description",
    "usage": "usage",
    "statuses": "status",
    "jobs": "job",
}

# member of the envelope, value, pointer, status, part of the sentence
BAD_MEMBERS: list[tuple[str, Any, str, int, str]] = [
    ("performed_at", "2025-01-31T14:30:00", "/performed_at", 400, "+01:00"),
    ("performed_at", "31.01.2025", "/performed_at", 400, "as a date"),
    ("performed_at", "2025-02-30", "/performed_at", 400, "no real date"),
    ("performed_at", "1850-01-01", "/performed_at", 400, "1950 to 2100"),
    ("ski", {"shop": "fellbench", "tag": "FB\u00000042"}, "/ski/tag", 400, "U+0000"),
    ("ski", {"shop": "fellbench", "tag": "FB-\u202e0042"}, "/ski/tag", 400, "U+202E"),
    ("ski", {"shop": "fellbench", "tag": "F" * 500}, "/ski/tag", 400, "at most 40"),
    ("ski", {"shop": "fellbench", "tag": "FB 0042"}, "/ski/tag", 400, "take out a blank"),
    ("ski", {"shop": "fellbench", "tag": "FB-9999"}, "/ski", 422, "Register it"),
    ("ski", {"shop": "nowhere", "tag": "FB-0042"}, "/ski", 422, "Register it"),
    ("ski", {"shop": "Fell Bench", "tag": "FB-0042"}, "/ski/shop", 400, "code@node-host"),
    ("author", "tarnedge", "/author", 403, "Leave the author out"),
    ("author", "fellbench@elsewhere.example", "/author", 403, "Leave the author out"),
    ("refers_to", ["0" * 64], "/refers_to", 400, "At most 0"),
    ("salt", "0" * 32, "/salt", 400, "No field `salt`"),
    ("key", "k", "/key", 400, "No field `key`"),
]


def refused(answer: Answered, status: int, pointer: str, words: str) -> None:
    """The refusal has this status and names this field and mend."""
    assert answer.status == status, answer.content
    assert answer.headers["Content-Type"] == "application/problem+json"
    assert pointer in answer.pointers, answer.json
    sentences = [one["detail"] for one in answer.json["errors"] if one["pointer"] == pointer]
    assert any(words in sentence for sentence in sentences), sentences


def nothing_new(size: int) -> None:
    """Beyond its first keys the log is as long as before, and the index follows it."""
    assert LogHead.objects.get().size == Record.objects.count()
    assert Record.objects.exclude(kind="key").count() == size


@pytest.mark.parametrize(
    ("segment", "body", "pointer", "words"), BAD_BODIES, ids=lambda one: str(one)[:40]
)
def test_a_bad_body(
    segment: str,
    body: dict[str, Any],
    pointer: str,
    words: str,
    client: ApiClient,
    ski: str,
) -> None:
    answer = client.post(segment, draft(KIND_OF[segment], body=body))
    refused(answer, 400, f"/body{pointer}", words)
    assert answer.slug == "invalid-fields"
    nothing_new(1)


@pytest.mark.parametrize(
    ("name", "value", "pointer", "status", "words"), BAD_MEMBERS, ids=lambda one: str(one)[:40]
)
def test_a_bad_member_of_the_envelope(
    name: str,
    value: Any,
    pointer: str,
    status: int,
    words: str,
    client: ApiClient,
    other: ApiClient,
    ski: str,
) -> None:
    refused(client.post("jobs", draft("job", **{name: value})), status, pointer, words)
    nothing_new(1)
    assert Job._default_manager.count() == 0


def test_a_date_of_tomorrow(client: ApiClient, ski: str) -> None:
    day = (timezone.localdate() + timedelta(days=1)).isoformat()
    answer = client.post("jobs", draft("job", performed_at=day))
    refused(answer, 422, "/performed_at", "lies in the future")
    nothing_new(1)


def test_all_mistakes_come_at_once(client: ApiClient, ski: str) -> None:
    body = {
        "steps": [{"operation": "grind"}, {"operation": "wax", "iron_temperature_c": 500}],
        "measurements": [{**EDGE_HEIGHT, "value": 9}],
        "colour": "red",
    }
    answer = client.post("jobs", draft("job", body=body, performed_at="soon"))
    assert answer.status == 400
    assert set(answer.pointers) == {
        "/performed_at",
        "/body/steps/0/operation",
        "/body/steps/1/iron_temperature_c",
        "/body/measurements/0/value",
        "/body/colour",
    }
    assert answer.json["detail"] == "5 fields need mending; see `errors`."


BAD_TEXTS: list[tuple[bytes, str, str]] = [
    (b'{"ski": NaN}', "malformed-json", "no JSON number"),
    (b'{"ski": 1, "ski": 2}', "malformed-json", "stands twice"),
    (b"{", "malformed-json", "line 1, column 2"),
    (b"", "invalid-fields", "is missing"),
    (b'"a job"', "invalid-fields", "braces"),
    (b"[]", "invalid-fields", "braces"),
    (b"[" * 40 + b"]" * 40, "malformed-json", "16 deep"),
    (b"\xff\xfe", "malformed-json", "UTF-8"),
    (b"\xef\xbb\xbf{}", "malformed-json", "byte order mark"),
    (b'{"ski": 9007199254740993}', "malformed-json", ""),
    (b'{"ski": "\\ud800"}', "malformed-json", "Half a character"),
]


@pytest.mark.parametrize(("text", "slug", "words"), BAD_TEXTS, ids=lambda one: repr(one)[:30])
def test_a_body_that_is_no_strict_json(
    text: bytes, slug: str, words: str, client: ApiClient, ski: str
) -> None:
    answer = client.send("POST", "jobs", text)
    assert (answer.status, answer.slug) == (400, slug)
    assert any(words in one["detail"] for one in answer.json["errors"])
    nothing_new(1)


def test_ten_megabytes_are_refused_unread(client: ApiClient, ski: str) -> None:
    answer = client.send("POST", "jobs", b" " * 10 * 1024 * 1024)
    assert (answer.status, answer.slug) == (413, "too-large")
    assert "65536" in answer.json["detail"]


def test_more_bytes_than_announced_are_not_believed(client: ApiClient, ski: str) -> None:
    # The test client always tells the true length, so the announcement is overwritten.
    response = client.django.generic(
        "POST",
        f"{ROOT}/jobs",
        b" " * 70_000,
        "application/json",
        headers={"Authorization": f"Bearer {client.token}"},
        CONTENT_LENGTH="100",
    )
    assert response.status_code == 400


def test_a_body_in_pieces_needs_its_length(client: ApiClient, ski: str) -> None:
    response = client.django.generic(
        "POST",
        f"{ROOT}/jobs",
        b"",
        "application/json",
        headers={"Authorization": f"Bearer {client.token}", "Transfer-Encoding": "chunked"},
    )
    assert (response.status_code, json.loads(response.content)["type"]) == (
        411,
        "/docs/problems#length-required",
    )


def test_a_record_larger_than_32_kib(client: ApiClient, ski: str) -> None:
    steps = [{"operation": "other", "operation_text": "x" * 200, "tool_text": "y" * 200}] * 60
    remarks = [{"what": "rust", "severity": "slight", "state": "open", "remarks": "z" * 600}] * 20
    answer = client.post("jobs", draft("job", body={"steps": steps, "findings": remarks}))
    assert (answer.status, answer.slug) == (413, "too-large")
    assert "32768" in answer.json["detail"]
    nothing_new(1)


@pytest.mark.parametrize(
    ("address", "words"),
    [
        ("skis/fellbench/FB-9999", "FB-9999"),
        ("skis/nowhere/FB-0042", "FB-0042"),
        ("skis/Fell%20Bench/FB-0042", "code@node-host"),
        ("skis/fellbench/FB%200042", "take out a blank"),
        ("skis/fellbench/FB%E2%80%AE42", "U+202E"),
        ("skis/fellbench/" + "F" * 500, "at most 40"),
        ("skis/fellbench@elsewhere.example/FB-0042", "elsewhere.example"),
    ],
)
@pytest.mark.parametrize("part", ["", "/history", "/condition"])
def test_an_unknown_tag_in_the_address(
    address: str, words: str, part: str, client: ApiClient, ski: str
) -> None:
    answer = client.get(address + part)
    assert (answer.status, answer.slug) == (404, "unknown-ski")
    assert words in answer.json["detail"]


@pytest.mark.parametrize("segment", ["jobs", "records", "measurements"])
@pytest.mark.parametrize("name", ["0" * 64, "x", "A" * 64, "%00"])
def test_an_unknown_record_in_the_address(
    segment: str, name: str, client: ApiClient, ski: str
) -> None:
    answer = client.get(f"{segment}/{name}")
    assert (answer.status, answer.slug) == (404, "unknown-record")


def test_a_tag_is_registered_once(client: ApiClient, ski: str) -> None:
    answer = client.post("skis", {"ski": {"tag": "fb-0042"}})
    assert (answer.status, answer.slug) == (409, "tag-exists")
    nothing_new(1)


def test_a_tag_of_another_shop_is_not_registered(client: ApiClient, other: ApiClient) -> None:
    answer = client.post("skis", {"ski": {"shop": "tarnedge", "tag": "TE-1"}})
    refused(answer, 403, "/ski/shop", "may register")


def test_a_finding_that_is_not_there_is_not_closed(client: ApiClient, ski: str) -> None:
    job = write(client, "jobs", draft("job")).json["id"]
    finding = {"what": "gouge", "severity": "slight", "state": "repaired"}
    closes = {"record": job, "index": 7}
    answer = client.post("jobs", draft("job", body={"findings": [{**finding, "closes": closes}]}))
    refused(answer, 422, "/body/findings/0/closes/index", "there is no 7")

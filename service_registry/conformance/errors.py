"""Checks that a mistake is refused, by the right status, in one shape, with where it is."""

from __future__ import annotations

import json
from typing import Any

from service_registry.conformance.answers import Answer
from service_registry.conformance.checks import Subject, expect, expect_that
from service_registry.conformance.node import Node

SUBJECT = Subject("errors")
MEMBERS = ("type", "title", "status", "detail", "instance", "request_id")
ZEROS = "0" * 64


def raw(node: Node, body: bytes, **headers: str) -> Answer:
    """Send bytes as a usage record."""
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    return node.send("POST", "usage", body=body, headers=named)


def of_shape(answer: Answer) -> None:
    """Check the members of a problem (RFC 9457)."""
    kind = answer.headers.get("content-type", "").partition(";")[0]
    expect(kind, "application/problem+json", f"The media type of what {answer.asked} answered")
    missing = [name for name in MEMBERS if name not in answer.json]
    expect(missing, [], "What is missing from the problem")
    expect(answer.at("status"), answer.status, "The status in the problem")
    expect(answer.at("request_id"), answer.headers.get("x-request-id"), "The request id")


@SUBJECT.check("Every refusal is problem+json with type, title, status, detail and request id.")
def problems_have_one_shape(node: Node) -> None:
    """Provoke one of each status."""
    provoked = [
        raw(node, b"{"),
        node.get("usage", key=None),
        node.get(f"records/{ZEROS}"),
        node.get("no-such-address"),
        node.send("DELETE", "usage"),
        node.get("usage", headers={"Accept": "text/html"}),
        raw(node, b" " * 100_000),
        raw(node, b"{}", Content_Type="text/plain"),
    ]
    expect([one.status for one in provoked], [400, 401, 404, 404, 405, 406, 413, 415], "Statuses")
    for one in provoked:
        of_shape(one)


@SUBJECT.check("A request id that a client sends comes back.")
def request_ids_come_back(node: Node) -> None:
    """Send one."""
    answer = node.get("usage", headers={"X-Request-ID": f"conform-{node.run_id}"})
    expect(answer.headers.get("x-request-id"), f"conform-{node.run_id}", "`X-Request-ID`")


@SUBJECT.check("Without a valid key nothing is shown; the answer says how to bring one.")
def keys_are_asked_for(node: Node) -> None:
    """Ask without a key, with a wrong one, and with one in another scheme."""
    basic = {"Authorization": "Basic Zm9vOmJhcg=="}
    for answer in (
        node.get(node.ski_path, key=None),
        node.get(node.ski_path, key=f"skireg_aaaaaaaa_{'A' * 43}"),
        node.get(node.ski_path, key=None, headers=basic),
    ):
        answer.is_problem(401, "unauthenticated")
        challenge = answer.headers.get("www-authenticate", "")
        expect_that(challenge.startswith("Bearer "), "The answer has no Bearer challenge.")


@SUBJECT.check("An unknown field is refused and named, wherever it stands.")
def unknown_fields_are_refused(node: Node) -> None:
    """Add some."""
    draft = {**node.usage(), "frost": 1, "body": {"days": 1, "frost": 2}}
    answer = node.post("usage", draft).is_problem(400, "invalid-fields")
    expect(answer.pointers(), {"/frost", "/body/frost"}, "The mistakes")


@SUBJECT.check("An unknown or repeated query parameter is refused and named.")
def unknown_parameters_are_refused(node: Node) -> None:
    """Add some."""
    answer = node.get("usage?frost=1&limit=3&limit=4").is_problem(400, "invalid-parameters")
    expect(answer.pointers(), {"frost", "limit"}, "The mistakes")


@SUBJECT.check("All mistakes of a document are named at once.")
def mistakes_are_named_at_once(node: Node) -> None:
    """Make three."""
    draft = {**node.usage(), "performed_at": "soon", "body": {"days": -1}, "ski": {"tag": "?"}}
    answer = node.post("usage", draft).is_problem(400, "invalid-fields")
    found = {pointer.split("/")[1] for pointer in answer.pointers()}
    expect(found, {"performed_at", "body", "ski"}, "Where the mistakes are")


@SUBJECT.check(
    "A body that is not strict JSON is refused: doubled keys, NaN, 2^53, half characters."
)
def only_strict_json_is_read(node: Node) -> None:
    """Send some."""
    whole = json.dumps(node.usage())
    for body in (
        b"",
        b'{"body": {"days": 1}, ',
        whole.replace('"days": 1', '"days": 1, "days": 1').encode(),
        whole.replace('"days": 1', '"days": NaN').encode(),
        whole.replace('"days": 1', '"days": 9007199254740993').encode(),
        whole.replace('"days": 1', '"days": 1, "x": "\\ud800"').encode(),
        b"[" * 20 + b"]" * 20,
        whole.encode("utf-16"),
    ):
        answer = raw(node, body)
        answer.has_status(400)
        slugs = ("malformed-json", "invalid-fields")
        expect_that(str(answer.at("type")).partition("#")[2] in slugs, f"{body[:60]!r} passed.")


@SUBJECT.check("A record written under another shop's name is refused.")
def nobody_writes_as_another(node: Node) -> None:
    """Name another author."""
    other = f"nobody-here@{node.shop.partition('@')[2]}"
    answer = node.post("usage", {**node.usage(), "author": other})
    answer.is_problem(403, "not-allowed")


@SUBJECT.check("What does not exist is not there: a ski, a record, an address.")
def what_is_not_there(node: Node) -> None:
    """Ask for each."""
    node.get(f"skis/{node.shop}/{node.new_tag()}").is_problem(404, "unknown-ski")
    node.get(f"records/{ZEROS}").is_problem(404, "unknown-record")
    node.get("records/%00").is_problem(404, "unknown-record")
    node.get("skiis").is_problem(404, "not-found")


@SUBJECT.check("Records are never edited or deleted; the answer lists the methods that work.")
def records_are_not_edited(node: Node) -> None:
    """Try to."""
    written = node.write("usage", node.usage())
    for method in ("DELETE", "PATCH"):
        answer = node.send(method, f"records/{written.at('id')}")
        answer.is_problem(405, "method-not-allowed")
        expect_that("GET" in answer.headers.get("allow", ""), "`Allow` does not list GET.")


@SUBJECT.check("What is well formed but against what is recorded is refused with 422.")
def states_are_kept(node: Node) -> None:
    """Correct a correction, write about a tag that nobody has, and on a day to come."""
    written = node.write("usage", node.usage())
    replacement = {"kind": "usage", "performed_at": "2025-01-31", "body": {"days": 2}}
    correction: dict[str, Any] = {"body": {"reason": "typing_error", "replacement": replacement}}
    first = node.write(f"records/{written.at('id')}/correction", correction)
    node.post(f"records/{first.at('id')}/correction", correction).is_problem(422, "wrong-state")
    nowhere = {**node.usage(), "ski": {"shop": node.shop, "tag": node.new_tag()}}
    node.post("usage", nowhere).is_problem(422, "unknown-reference")
    late = {**node.usage(), "performed_at": "2099-01-31"}
    node.post("usage", late).is_problem(422, "wrong-state")

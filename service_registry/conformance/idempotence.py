"""Checks that a request sent twice has one effect."""

from __future__ import annotations

import secrets
from typing import Any

from service_registry.conformance.answers import Answer
from service_registry.conformance.checks import Subject, expect
from service_registry.conformance.node import Node

SUBJECT = Subject("idempotence")


def new_key() -> dict[str, str]:
    """Give a header with a new idempotency key."""
    return {"Idempotency-Key": secrets.token_hex(16)}


def whole(answer: Answer) -> dict[str, Any]:
    """Give a stored record as a shop hands it in."""
    return {"record": answer.at("record"), "signature": answer.at("signature")}


@SUBJECT.check("The same request with the same key gets the same answer, and one record.")
def a_repeat_is_answered_again(node: Node) -> None:
    """Send one twice."""
    headers = new_key()
    first = node.write("usage", node.usage(), headers=headers)
    again = node.write("usage", node.usage(), headers=headers)
    expect(again.content, first.content, "The second answer")
    expect(again.headers.get("idempotency-replayed"), "true", "`Idempotency-Replayed`")


@SUBJECT.check("A key that came with another body is refused.")
def a_key_is_for_one_request(node: Node) -> None:
    """Send another body."""
    headers = new_key()
    node.write("usage", node.usage(1), headers=headers)
    other = node.post("usage", node.usage(2), headers=headers)
    other.is_problem(422, "idempotency-mismatch")


@SUBJECT.check("A refused request leaves its key free for the mended one.")
def a_refusal_uses_no_key_up(node: Node) -> None:
    """Send a wrong one, then the right one."""
    headers = new_key()
    wrong = {**node.usage(), "body": {"days": -1}}
    node.post("usage", wrong, headers=headers).is_problem(400, "invalid-fields")
    node.write("usage", node.usage(), headers=headers)


@SUBJECT.check("A record handed in whole that is here already keeps its place.")
def a_put_of_what_is_here(node: Node) -> None:
    """Hand in a record of the node's own."""
    written = node.write("usage", node.usage())
    address = f"records/{written.at('id')}"
    put = node.send("PUT", address, document=whole(written)).has_status(200)
    expect(put.at("log_index"), written.at("log_index"), "Its place in the log")


@SUBJECT.check("A record handed in under another id is refused.")
def a_put_under_another_id(node: Node) -> None:
    """Hand it in under the id of zeros."""
    written = node.write("usage", node.usage())
    put = node.send("PUT", f"records/{'0' * 64}", document=whole(written))
    put.has_status(422)


@SUBJECT.check("A record handed in with one word changed is refused.")
def a_put_of_changed_bytes(node: Node) -> None:
    """Change the number of days; then id and signature no longer belong to it."""
    written = node.write("usage", node.usage(1))
    changed = whole(written)
    changed["record"]["body"]["days"] = 2
    put = node.send("PUT", f"records/{written.at('id')}", document=changed)
    put.has_status(422)

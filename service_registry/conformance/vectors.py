"""Checks of records: their bytes, ids and signatures, and how drafts become records."""

from __future__ import annotations

import hashlib
import json

from apps.records.canonical import canonical_bytes
from service_registry.conformance.answers import Answer
from service_registry.conformance.checks import Subject, expect, expect_that
from service_registry.conformance.node import Node

SUBJECT = Subject("vectors")


def bevels(node: Node, **body: object) -> Answer:
    """Write a bevel setting."""
    draft = {**node.usage(), "body": {"edge": "both", "basis": "set", **body}}
    return node.write("bevel-settings", draft)


@SUBJECT.check("The id of a record is the SHA-256 of its canonical bytes.")
def id_is_the_hash(node: Node) -> None:
    """Hash what came back, and what is read again."""
    written = node.write("usage", node.usage())
    for answer in (written, node.get(f"records/{written.at('id')}").has_status(200)):
        data = canonical_bytes(answer.at("record"))
        expect(answer.at("id"), hashlib.sha256(data).hexdigest(), "The id")


@SUBJECT.check("A record stands in answers byte for byte in its canonical form (RFC 8785).")
def bytes_are_canonical(node: Node) -> None:
    """Look for the canonical bytes in the answer as it came."""
    draft = node.usage()
    remarks = 'Kante \u20ac \U0001f3bf \u00e4 \\ " / \u00b0 done'
    job = {**draft, "body": {"steps": [], "remarks": remarks}}
    written = node.write("jobs", job)
    expect(written.at("record", "body", "remarks"), remarks, "The text that was sent")
    for answer in (written, node.get(f"records/{written.at('id')}").has_status(200)):
        data = canonical_bytes(answer.at("record"))
        expect_that(data in answer.content, f"{answer.asked} wrote the record in another form.")


@SUBJECT.check("A decimal that is sent as a number comes back as a string of fixed step.")
def decimals_are_strings(node: Node) -> None:
    """Send 0.5 and 2."""
    body = bevels(node, base_bevel_deg=0.5, side_bevel_deg=2).at("record", "body")
    expect(body.get("base_bevel_deg"), "0.50", "A base bevel sent as 0.5")
    expect(body.get("side_bevel_deg"), "2.00", "A side bevel sent as 2")


@SUBJECT.check("A side angle is kept as the bevel from square: 88 is a bevel of 2.")
def angle_becomes_bevel(node: Node) -> None:
    """Send 88."""
    body = bevels(node, side_angle_deg=88).at("record", "body")
    expect(body.get("side_bevel_deg"), "2.00", "A side angle sent as 88")
    expect_that("side_angle_deg" not in body, "The record keeps the angle beside the bevel.")


@SUBJECT.check("Two records that say the same have different ids, by their salt.")
def salt_tells_twins_apart(node: Node) -> None:
    """Write one draft twice."""
    one, other = (node.write("usage", node.usage()) for _ in range(2))
    expect_that(one.at("id") != other.at("id"), "Two equal records got one id.")
    expect(len(one.at("record", "salt")), 32, "The length of a salt of 128 bits in hexadecimal")


@SUBJECT.check("A tag in lower case is the same tag in capitals.")
def tags_are_capitals(node: Node) -> None:
    """Register one."""
    tag = node.new_tag()
    registered = node.register(tag.lower()).has_status(201)
    expect(registered.at("record", "ski", "tag"), tag, "The tag")
    node.register(tag).is_problem(409, "tag-exists")


@SUBJECT.check("What is written is in the history of its ski at once, with the same bytes.")
def history_holds_what_was_written(node: Node) -> None:
    """Write, then read the history raw."""
    written = node.write("usage", node.usage(7))
    history = node.get(f"{node.ski_path}/history?raw=true&limit=500").has_status(200)
    found = [item for item in history.at("items") if item.get("id") == written.at("id")]
    expect(len(found), 1, "How often the new record stands in the history")
    expect(found[0].get("record"), written.at("record"), "The record in the history")


@SUBJECT.check("A correction stands beside the record that it corrects, which stays as it was.")
def corrections_change_nothing(node: Node) -> None:
    """Correct a record, then read it again."""
    written = node.write("usage", node.usage(3))
    replacement = {"kind": "usage", "performed_at": "2025-01-31", "body": {"days": 2}}
    correction = {"body": {"reason": "typing_error", "replacement": replacement}}
    address = f"records/{written.at('id')}"
    node.write(f"{address}/correction", correction)
    again = node.get(address).has_status(200)
    expect(json.dumps(again.at("record")), json.dumps(written.at("record")), "The record")

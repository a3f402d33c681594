"""Checks of what the node says of itself."""

from __future__ import annotations

from apps.records.checkpoint import Checkpoint, read_checkpoint
from apps.records.errors import RecordError
from apps.records.notes import VerifierKey
from service_registry.conformance.answers import Answer
from service_registry.conformance.checks import Failed, Subject, expect, expect_that
from service_registry.conformance.node import Node

SUBJECT = Subject("capabilities")
WELL_KNOWN = "/.well-known/ski-service-registry"
PARTS = ("node_host", "api", "contract", "records", "log", "limits", "rates", "policies")


def read(node: Node) -> Answer:
    """Read the capabilities."""
    return node.get(WELL_KNOWN, key=None).has_status(200)


def verifier_key(node: Node) -> VerifierKey:
    """Give the key that the node says signs for its log."""
    text = str(read(node).at("log", "node_key"))
    try:
        return VerifierKey.from_text(text)
    except RecordError as error:
        raise Failed(f"The node's key can't be read: {error}") from error


def checkpoint(node: Node) -> Checkpoint:
    """Read the checkpoint and check who signed it."""
    content = node.get("log/checkpoint", key=None).has_status(200).content
    try:
        reading = read_checkpoint(content, verifier_key(node))
    except RecordError as error:
        raise Failed(f"The checkpoint can't be read: {error}") from error
    expect_that(reading.holds, reading.sentence)
    return reading.checkpoint


@SUBJECT.check("The well-known address tells without a key what the node can do.")
def capabilities_are_public(node: Node) -> None:
    """Look for every part."""
    document = read(node).json
    missing = [name for name in PARTS if name not in document]
    expect(missing, [], "What is missing from the capabilities")


@SUBJECT.check("The node reads format 1, by RFC 8785, SHA-256 and Ed25519.")
def format_is_read(node: Node) -> None:
    """Look at formats and algorithms."""
    said = read(node)
    expect_that(1 in said.at("records", "formats"), "Format 1 is not among those it reads.")
    for name, value in (
        ("canonical_form", "RFC 8785"),
        ("id", "SHA-256"),
        ("signature", "Ed25519"),
    ):
        expect(said.at("records", name), value, f"`{name}`")


@SUBJECT.check("Shops of the node are called by the host that it names.")
def handle_is_of_the_host(node: Node) -> None:
    """Compare the author of a new record with the capabilities."""
    expect(node.shop.partition("@")[2], read(node).at("node_host"), "The host in the handle")


@SUBJECT.check("The checkpoint is signed by the key and for the log that the node names.")
def checkpoint_is_signed(node: Node) -> None:
    """Check signature and origin."""
    expect(checkpoint(node).origin, read(node).at("log", "origin"), "The origin")


@SUBJECT.check("The contract is served without a key, as OpenAPI 3.1.")
def contract_is_served(node: Node) -> None:
    """Read it."""
    contract = node.get(str(read(node).at("contract")), key=None).has_status(200)
    expect(str(contract.at("openapi"))[:4], "3.1.", "The version of the contract")

"""Checks of the log: proofs, roots, and the bundle of a ski."""

from __future__ import annotations

from itertools import pairwise

from apps.records import tree
from apps.records.bundle import verify_bundle
from apps.records.checkpoint import Checkpoint
from service_registry.conformance.answers import Answer
from service_registry.conformance.capabilities import checkpoint, verifier_key
from service_registry.conformance.checks import Failed, NotRun, Subject, expect, expect_that
from service_registry.conformance.node import Node
from service_registry.conformance.paging import pages

SUBJECT = Subject("proofs")
MOST_RECORDS = 20_000


def hashes(answer: Answer) -> list[bytes]:
    """Read the hashes of a proof."""
    try:
        return [bytes.fromhex(one) for one in answer.at("hashes")]
    except (TypeError, ValueError) as error:
        raise Failed(f"{answer.asked} gave hashes that are not in hexadecimal.") from error


def consistent(node: Node, old: Checkpoint, new: Checkpoint) -> None:
    """Check that the log only grew from one checkpoint to another."""
    proof = node.get(f"log/consistency?old={old.size}&size={new.size}").has_status(200)
    check = tree.verify_consistency(
        old=old.size,
        size=new.size,
        proof=hashes(proof),
        old_root=old.root,
        root=new.root,
    )
    expect_that(check.holds, check.sentence)


@SUBJECT.check("A proof leads from each record to the root of the signed checkpoint (RFC 6962).")
def records_are_in_the_tree(node: Node) -> None:
    """Prove the first record of the log, a new one, and one between them."""
    name = str(node.write("usage", node.usage()).at("id"))
    signed = checkpoint(node)
    for asked in (f"record={name}", "index=0", f"index={signed.size // 2}"):
        proof = node.get(f"log/proof?{asked}&size={signed.size}").has_status(200)
        check = tree.verify_inclusion(
            index=int(proof.at("index")),
            size=signed.size,
            leaf=tree.record_leaf(str(proof.at("record"))),
            proof=hashes(proof),
            root=signed.root,
        )
        expect_that(check.holds, f"{proof.asked}: {check.sentence}")


@SUBJECT.check("The log only grows: a proof leads from each older checkpoint to the newest.")
def the_log_only_grows(node: Node) -> None:
    """Take checkpoints between writes, and compare all of them with the last."""
    seen = [checkpoint(node)]
    for _ in range(3):
        node.write("usage", node.usage())
        seen.append(checkpoint(node))
    expect_that(
        all(one.size < other.size for one, other in pairwise(seen)),
        "The log did not grow by what was written.",
    )
    for old in seen:
        consistent(node, old, seen[-1])


@SUBJECT.check("The root is the one that follows from the ids in the feed.")
def the_root_follows_from_the_feed(node: Node) -> None:
    """Reckon the root again from all the rows."""
    signed = checkpoint(node)
    if signed.size > MOST_RECORDS:
        raise NotRun(f"The log has more than {MOST_RECORDS} records.")
    grown = tree.CompactRange()
    path = f"log/records?from=0&until={signed.size}&limit=500"
    for page in pages(node, path, key="feed"):
        for row in page.at("items"):
            grown = grown.append(tree.record_leaf(row["id"]))
    expect(grown.size, signed.size, "The number of rows")
    expect(grown.root.hex(), signed.root.hex(), "The root")


@SUBJECT.check("The bundle of a ski verifies by itself, under the key that the node names.")
def the_bundle_verifies(node: Node) -> None:
    """Fetch one and verify it without the node."""
    written = str(node.write("usage", node.usage()).at("id"))
    bundle = node.get(f"{node.ski_path}/bundle").has_status(200)
    report = verify_bundle(bundle.content, verifier_key(node).text)
    expect_that(report.holds, " ".join(report.lines)[:300])
    expect_that(written.encode() in bundle.content, "It lacks a record of the ski.")

"""Every way in which a bundle that a node signed can be wrong, each with its own reason."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

import pytest

from apps.records.bundle import verify_bundle
from apps.records.bundle_file import BundleContents, BundleRow, make_bundle
from apps.records.bundle_report import Fault
from apps.records.canonical import canonical_bytes
from apps.records.notes import VerifierKey
from apps.records.place import SkiTag
from tests.records.small_log import (
    BOTH,
    FOREIGN_NODE,
    FOREIGN_NODE_KEY,
    FOREIGN_SHOP,
    FOREIGN_SHOP_KEY,
    FOREIGN_SKI,
    NODE,
    NODE_KEY,
    SHOP,
    SHOP_KEY,
    SKI,
    SmallLog,
    known_key,
    started,
    story,
)
from tests.records.test_bundle import NODE_VKEY, SMALLEST, body_of, resealed

STRANGER = known_key("a stranger")
Story = Callable[[SmallLog], object]
EVIDENCE = {"evidence": ["both_labels"]}


def faults_of(data: bytes, pinned: str | None = NODE_VKEY) -> tuple[Fault, ...]:
    report = verify_bundle(data, pinned)
    assert report.holds is (not report.faults)
    return report.faults


def codes_of(data: bytes, pinned: str | None = NODE_VKEY) -> list[str]:
    return [fault.code for fault in faults_of(data, pinned)]


def told(story: Story) -> list[str]:
    """Give the codes of what fails after a story that begins with both keys."""
    log = started()
    story(log)
    return codes_of(log.bundle())


def test_a_plain_story_holds() -> None:
    assert told(lambda log: log.write("usage", {"days": 1})) == []


def test_another_key_than_the_pinned_one_fails() -> None:
    other = VerifierKey("node.example/log", STRANGER.public).text
    assert codes_of(SMALLEST, other) == ["another-node-key"]


def test_a_whole_log_of_another_key_fails_under_the_pinned_one() -> None:
    log = SmallLog()
    log.state_key(STRANGER, NODE, by=STRANGER)
    log.state_key(SHOP_KEY, SHOP, by=STRANGER)
    log.write("usage", {"days": 1})
    contents = replace(log.contents(), checkpoint=log.checkpoint(STRANGER))
    forged = make_bundle(contents, STRANGER)
    # It is sound in itself: only the key that the reader has from elsewhere tells.
    assert codes_of(forged, None) == []
    assert codes_of(forged) == ["another-node-key"]


def test_a_checkpoint_that_another_key_signed_fails() -> None:
    log = started()
    contents = replace(log.contents(), checkpoint=log.checkpoint(STRANGER))
    assert codes_of(make_bundle(contents, NODE_KEY)) == ["bad-checkpoint"]


@pytest.mark.parametrize(
    ("member", "code"), [("node_key", "malformed-key"), ("checkpoint", "malformed-checkpoint")]
)
def test_what_is_no_key_and_no_checkpoint_fails(member: str, code: str) -> None:
    report = verify_bundle(resealed({**body_of(SMALLEST), member: "nothing\n"}))
    assert ([fault.code for fault in report.faults], report.facts) == ([code], None)


def test_a_changed_file_fails_by_the_signature_of_the_node() -> None:
    changed = json.loads(SMALLEST)
    changed["bundle"]["links"] = "all"
    assert codes_of(canonical_bytes(changed)) == ["bad-signature"]


def test_rows_out_of_order_and_twice_fail() -> None:
    log = started()
    log.write("usage", {"days": 1})
    log.write("usage", {"days": 2})
    body = body_of(log.bundle())
    one, two = body["records"]
    for rows in ([two, one], [one, one]):
        assert codes_of(resealed({**body, "records": rows})) == ["out-of-order"]


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"index": 1}, "too-few-hashes"),
        ({"proof": ["00" * 32]}, "root-differs"),
        ({"index": 3}, "outside-tree"),
        ({"proof": []}, "too-few-hashes"),
        ({"proof": ["00" * 32] * 2}, "too-many-hashes"),
    ],
)
def test_a_record_that_is_not_at_its_place_fails(changes: dict[str, Any], code: str) -> None:
    body = body_of(SMALLEST)
    rows = [{**body["records"][0], **changes}]
    faults = faults_of(resealed({**body, "records": rows}))
    assert code in {fault.code for fault in faults}
    assert "not shown to stand at place" in faults[0].sentence


def test_a_record_under_the_id_of_another_fails() -> None:
    log = started()
    log.write("usage", {"days": 1})
    log.write("usage", {"days": 2})
    body = body_of(log.bundle())
    one, two = body["records"]
    swapped = {**one, "record": two["record"], "signature": two["signature"]}
    faults = faults_of(resealed({**body, "records": [swapped, two]}))
    assert [(fault.place, fault.code) for fault in faults] == [
        ("/bundle/records/0/id", "another-id")
    ]


def test_a_record_that_is_none_fails_with_its_own_errors() -> None:
    body = body_of(SMALLEST)
    (row,) = body["records"]
    row["record"]["body"]["days"] = 1000
    faults = faults_of(resealed(body))
    assert ("/bundle/records/0/record/body/days", "out-of-range") in {
        (fault.place, fault.code) for fault in faults
    }


KEYS: list[tuple[str, Story, list[str]]] = [
    (
        "a record by a key that the file has not",
        lambda log: log.write("usage", {"days": 1}, key=STRANGER),
        ["unknown-key"],
    ),
    (
        "a record by another author's key",
        lambda log: log.write("usage", {"days": 1}, author="tarnside@node.example"),
        ["foreign-key"],
    ),
    (
        "a record from after the end of its key",
        lambda log: (log.end_key(SHOP_KEY, SHOP), log.write("usage", {"days": 1})),
        ["key-not-valid"],
    ),
    (
        "a record from before its key",
        lambda log: (
            log.write("usage", {"days": 1}, key=STRANGER),
            log.state_key(STRANGER, SHOP),
        ),
        ["key-not-valid"],
    ),
    (
        "a key that a stranger states",
        lambda log: log.state_key(STRANGER, SHOP, by=STRANGER),
        ["unknown-key"],
    ),
    (
        "a second key of the node that nothing vouches for",
        lambda log: log.state_key(STRANGER, NODE, by=STRANGER),
        ["unknown-key"],
    ),
    (
        "a key that its shop did not prove to hold",
        lambda log: log.state_key(STRANGER, SHOP, proof=SHOP_KEY.sign_text(b"another")),
        ["key-not-proved"],
    ),
    ("a key that is stated twice", lambda log: log.state_key(SHOP_KEY, SHOP), ["key-twice"]),
    (
        "an end of a key that is not there",
        lambda log: log.end_key(STRANGER, SHOP),
        ["no-key-to-end"],
    ),
    (
        "an end of another shop's key",
        lambda log: log.end_key(SHOP_KEY, "tarnside@node.example"),
        ["no-key-to-end"],
    ),
    (
        "a second end",
        lambda log: (log.end_key(SHOP_KEY, SHOP), log.end_key(SHOP_KEY, SHOP)),
        ["no-key-to-end"],
    ),
    (
        "an end that a stranger signs",
        lambda log: log.end_key(SHOP_KEY, SHOP, by=STRANGER),
        ["unknown-key"],
    ),
    (
        "a node whose key has ended",
        lambda log: log.end_key(NODE_KEY, NODE),
        ["unstated-node-key"],
    ),
]


@pytest.mark.parametrize(("name", "story", "codes"), KEYS, ids=[name for name, _, _ in KEYS])
def test_a_key_that_does_not_speak_fails(name: str, story: Story, codes: list[str]) -> None:
    assert told(story) == codes


def test_a_node_may_change_its_key() -> None:
    log = started()
    log.state_key(STRANGER, NODE)
    log.end_key(NODE_KEY, NODE, by=STRANGER)
    log.state_key(known_key("a third"), SHOP, by=STRANGER)
    log.write("usage", {"days": 1}, key=known_key("a third"))
    contents = replace(log.contents(), checkpoint=log.checkpoint(STRANGER))
    assert codes_of(make_bundle(contents, STRANGER), None) == []


def without_key(log: SmallLog, index: int) -> bytes:
    contents = log.contents()
    return make_bundle(
        replace(contents, keys=[row for row in contents.keys if row.index != index]), NODE_KEY
    )


def test_a_missing_first_key_of_the_node_fails() -> None:
    log = started()
    log.write("usage", {"days": 1})
    assert codes_of(without_key(log, 0)) == ["unknown-key", "unstated-node-key", "unknown-key"]


def with_signature(rows: Iterable[BundleRow], at: int, signature: str) -> list[BundleRow]:
    return [
        row.model_copy(update={"signature": signature}) if row.index == at else row for row in rows
    ]


@pytest.mark.parametrize(("name", "index"), [("keys", 0), ("keys", 1), ("records", 2)])
def test_a_signature_over_other_bytes_fails(name: str, index: int) -> None:
    log = started()
    log.write("usage", {"days": 1})
    contents = log.contents()
    signers = {0: NODE_KEY, 1: NODE_KEY, 2: SHOP_KEY}
    wrong = signers[index].sign_text(b"other bytes")
    rows = contents.keys if name == "keys" else contents.records
    changed = {name: with_signature(rows, index, wrong)}
    data = make_bundle(replace(contents, **changed), NODE_KEY)  # type: ignore[arg-type]
    assert codes_of(data)[0] == "bad-signature"


def with_rows(contents: BundleContents, name: str, rows: Iterable[BundleRow]) -> bytes:
    parts: dict[str, Any] = {name: list(rows)}
    return make_bundle(replace(contents, **parts), NODE_KEY)


def test_only_keys_stand_among_the_keys_and_none_was_erased() -> None:
    log = started()
    log.write("usage", {"days": 1})
    contents = log.contents()
    more = [*contents.keys, *contents.records]
    assert codes_of(with_rows(contents, "keys", more)) == ["not-a-key"]
    log.erased[log.written[1].id] = log.written[0].id
    assert "erased-key" in codes_of(log.bundle())


def test_an_erased_record_needs_its_erasure() -> None:
    log = started()
    usage = log.write("usage", {"days": 1})
    other = log.write("usage", {"days": 2})
    erasure = log.erase(usage)
    assert codes_of(log.bundle()) == []
    without = [row for row in log.contents().records if row.id != erasure]
    assert codes_of(with_rows(log.contents(), "records", without)) == ["no-erasure"]
    log.erased[other] = erasure
    assert codes_of(log.bundle()) == ["no-erasure"]


def test_a_record_about_another_ski_fails() -> None:
    log = started()
    log.write("usage", {"days": 1}, ski={**SKI, "tag": "FB-0099"})
    log.write("scan", {}, format=2)
    log.write("scan", {}, format=2, ski=None)
    contents = log.contents()
    rows = [log.row(index) for index in range(1, len(log.written))]
    faults = faults_of(with_rows(contents, "records", rows))
    # The key at place 1, the other ski's record at 2, and the one about no ski at all at 4.
    assert [(fault.place, fault.code) for fault in faults] == [
        (f"/bundle/records/{number}", "another-ski") for number in (0, 1, 3)
    ]


def joined(*, mutual: bool, retracted: bool = False) -> SmallLog:
    log = started()
    foreign: dict[str, Any] = {"author": FOREIGN_NODE, "by": FOREIGN_NODE_KEY}
    log.state_key(FOREIGN_NODE_KEY, FOREIGN_NODE, **foreign)
    log.state_key(FOREIGN_SHOP_KEY, FOREIGN_SHOP, **foreign)
    said = log.write("same-ski", {"other_ski": FOREIGN_SKI, **EVIDENCE})
    other: dict[str, Any] = {"author": FOREIGN_SHOP, "key": FOREIGN_SHOP_KEY, "ski": FOREIGN_SKI}
    if mutual:
        log.write("same-ski", {"other_ski": SKI, **EVIDENCE}, **other)
    if retracted:
        log.write("retraction", {"reason": "wrong_ski"}, refers_to=[said])
    return log


def test_tags_that_the_statements_join_hold() -> None:
    assert codes_of(joined(mutual=True).bundle(BOTH)) == []
    assert codes_of(joined(mutual=False).bundle(BOTH, "all")) == []


def test_tags_that_no_statement_joins_fail() -> None:
    for data in (
        started().bundle(BOTH),
        joined(mutual=False).bundle(BOTH),
        joined(mutual=True).bundle(BOTH, "none"),
        joined(mutual=True, retracted=True).bundle(BOTH),
    ):
        (fault,) = faults_of(data)
        assert (fault.place, fault.code) == ("/bundle/tags/1", "not-joined")


def test_contested_tags_are_not_joined() -> None:
    log = joined(mutual=True)
    log.write("distinct-ski", {"other_ski": FOREIGN_SKI, "evidence": ["side_by_side"]})
    assert codes_of(log.bundle(BOTH)) == ["not-joined"]
    assert codes_of(log.bundle()) == []


def test_the_tag_that_was_asked_for_is_among_the_tags_and_each_stands_once() -> None:
    log = joined(mutual=True)
    asked = replace(log.contents(BOTH), ski=SkiTag(shop=SHOP, tag="FB-0099"))
    assert codes_of(make_bundle(asked, NODE_KEY))[0] == "asked-for-missing"
    twice = replace(log.contents(), tags=[SkiTag.model_validate(SKI)] * 2)
    assert codes_of(make_bundle(twice, NODE_KEY)) == ["out-of-order"]


def test_a_failing_report_says_where_and_what() -> None:
    report = verify_bundle(story().bundle(BOTH, "none"), NODE_VKEY)
    assert report.lines == (
        "This bundle does NOT hold. Believe nothing in it.",
        f"/bundle/tags/1: No statement in the file joins {FOREIGN_SHOP}/TS-7 with {SHOP}/FB-0042.",
    )


def test_a_long_report_is_cut() -> None:
    log = started()
    for days in range(1, 26):
        log.write("usage", {"days": days}, key=STRANGER)
    report = verify_bundle(log.bundle())
    assert len(report.faults) == 25
    assert (len(report.lines), report.lines[-1]) == (22, "And 5 more.")


def test_nothing_in_a_report_moves_the_terminal() -> None:
    report = verify_bundle(resealed({**body_of(SMALLEST), "\x1b[31m": 1}))
    assert not report.holds
    assert "/bundle/<U+001B>[31m: " in "\n".join(report.lines)
    assert all(line.isprintable() for line in report.lines)

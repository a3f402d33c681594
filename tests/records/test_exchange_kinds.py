"""Links, disputes, erasures and keys: the rules of each kind, from both sides."""

from __future__ import annotations

from typing import Any

import pytest

from apps.records.errors import InvalidRecord
from apps.records.examples import (
    BY_NODE,
    KEY,
    NODE,
    OTHER_SHOP_SKI,
    PROOF,
    PUBLIC_KEY,
    RECORD,
    SALT,
    SKI,
    WITHOUT_SKI,
    example_draft,
    example_record,
)
from apps.records.kinds import KINDS, KINDS_ABOUT_A_SKI
from apps.records.reading import compose, read_document, read_draft
from tests.records.refusals import (
    HOST,
    accepted_body,
    coded,
    draft_of,
    read_any_draft,
    record_errors,
)

SHOP = SKI["shop"]
SAME = {"other_ski": OTHER_SHOP_SKI, "evidence": ["both_labels"]}
APART = {"other_ski": OTHER_SHOP_SKI, "evidence": ["side_by_side"]}
NEW_KEY = {"shop": SHOP, "public": PUBLIC_KEY, "held_by": "node", "proof": PROOF}
KEY_END = {"shop": SHOP, "key": KEY, "reason": "stolen"}
FOREIGN = "fellbench@elsewhere.example"

GOOD: list[tuple[str, dict[str, Any]]] = [
    ("same-ski", SAME),
    ("same-ski", {**SAME, "evidence": ["label_lost", "other"], "evidence_text": "the bill"}),
    ("same-ski", {**SAME, "other_ski": {"shop": SHOP, "tag": "FB-0043"}}),
    ("same-ski", {**SAME, "other_ski": {"shop": "tarnside@lake.example", "tag": SKI["tag"]}}),
    ("distinct-ski", {**APART, "remarks": "One is two centimetres longer."}),
    ("dispute", {"reason": "other", "reason_text": "no such bench"}),
    ("dispute", {"reason": "not_found", "remarks": "No patch in the base."}),
    ("erasure", {"reason": "legal_duty"}),
    ("key", NEW_KEY),
    ("key", {**NEW_KEY, "shop": NODE}),
    ("key-end", {**KEY_END, "reason": "other", "reason_text": "smart card broke"}),
]

BROKEN: list[tuple[str, dict[str, Any], list[tuple[str, str]]]] = [
    ("same-ski", {"other_ski": OTHER_SHOP_SKI}, [("/body/evidence", "missing")]),
    ("same-ski", {**SAME, "evidence": []}, [("/body/evidence", "too-few")]),
    ("same-ski", {**SAME, "evidence": "both_labels"}, [("/body/evidence", "not-a-list")]),
    ("same-ski", {**SAME, "evidence": ["side_by_side"]}, [("/body/evidence/0", "unknown-word")]),
    ("same-ski", {**SAME, "evidence": ["markings"] * 2}, [("/body/evidence", "said-twice")]),
    ("same-ski", {**SAME, "evidence": ["markings"] * 11}, [("/body/evidence", "too-many")]),
    ("same-ski", {**SAME, "evidence": ["other"]}, [("/body/evidence_text", "text-needed")]),
    ("same-ski", {**SAME, "evidence_text": "x"}, [("/body/evidence_text", "text-refused")]),
    ("same-ski", {**SAME, "other_ski": SKI}, [("/body/other_ski", "own-pair")]),
    ("same-ski", {"evidence": ["markings"]}, [("/body/other_ski", "missing")]),
    ("same-ski", {**SAME, "other_ski": {"shop": NODE, "tag": "A"}},
     [("/body/other_ski/shop", "reserved-handle")]),
    ("distinct-ski", {**APART, "other_ski": SKI}, [("/body/other_ski", "own-pair")]),
    ("distinct-ski", {**APART, "evidence": ["label_lost"]},
     [("/body/evidence/0", "unknown-word")]),
    ("dispute", {}, [("/body/reason", "missing")]),
    ("dispute", {"reason": "wrong"}, [("/body/reason", "unknown-word")]),
    ("dispute", {"reason": "other"}, [("/body/reason_text", "text-needed")]),
    ("dispute", {"reason": "wrong_ski", "replacement": {}},
     [("/body/replacement", "unknown-field")]),
    ("erasure", {"reason": "other"}, [("/body/reason_text", "text-needed")]),
    ("erasure", {"reason": "personal_data", "remarks": "x"}, [("/body/remarks", "unknown-field")]),
    ("key", {**NEW_KEY, "shop": FOREIGN}, [("/body/shop", "foreign-shop")]),
    ("key", {**NEW_KEY, "held_by": "operator"}, [("/body/held_by", "unknown-word")]),
    ("key", {**NEW_KEY, "public": PUBLIC_KEY[:-1]}, [("/body/public", "not-a-public-key")]),
    # RFC 4648 section 3.5: the unused bits of the last character are nought.
    ("key", {**NEW_KEY, "public": PUBLIC_KEY[:-1] + "p"}, [("/body/public", "not-a-public-key")]),
    ("key", {**NEW_KEY, "proof": PROOF[:-1] + "B"}, [("/body/proof", "not-a-signature")]),
    ("key", {**NEW_KEY, "private": "x"}, [("/body/private", "unknown-field")]),
    ("key-end", {**KEY_END, "shop": FOREIGN}, [("/body/shop", "foreign-shop")]),
    ("key-end", {**KEY_END, "reason": "other"}, [("/body/reason_text", "text-needed")]),
    ("key-end", {**KEY_END, "key": "short"}, [("/body/key", "not-a-key-id")]),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "body"), GOOD)
def test_a_body_that_keeps_the_rules_is_accepted(kind: str, body: dict[str, Any]) -> None:
    assert accepted_body(kind, body) == body
    record = read_document({**example_record(kind), "body": body})
    assert isinstance(record, KINDS[kind].record)


@pytest.mark.parametrize(("kind", "body", "errors"), BROKEN)
def test_a_broken_rule_names_the_field(
    kind: str, body: dict[str, Any], errors: list[tuple[str, str]]
) -> None:
    assert coded(record_errors(kind, body=body)) == errors


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind not in BY_NODE])
def test_a_node_is_no_shop(kind: str) -> None:
    errors = record_errors(kind, author=NODE)
    assert coded(errors) == [("/author", "reserved-handle")]
    assert "give a shop's handle" in errors[0].message


@pytest.mark.parametrize("kind", sorted(BY_NODE))
def test_a_shop_is_no_node(kind: str) -> None:
    errors = record_errors(kind, author=SHOP)
    assert coded(errors) == [("/author", "not-the-node")]
    assert "as node@ and its host" in errors[0].message


def test_a_node_has_no_tags() -> None:
    assert coded(record_errors("usage", ski={"shop": NODE, "tag": "A"})) == [
        ("/ski/shop", "reserved-handle")
    ]


@pytest.mark.parametrize("kind", sorted(WITHOUT_SKI))
def test_a_key_is_about_no_ski(kind: str) -> None:
    assert not KINDS[kind].about_ski
    assert coded(record_errors(kind, ski=SKI)) == [("/ski", "unknown-field")]
    assert coded(record_errors(kind, refers_to=[RECORD])) == [("/refers_to", "too-many")]


@pytest.mark.parametrize("kind", ["dispute", "erasure"])
@pytest.mark.parametrize(("refers_to", "code"), [([], "too-few"), ([RECORD, "0" * 64], "too-many")])
def test_a_dispute_and_an_erasure_are_about_exactly_one_record(
    kind: str, refers_to: list[str], code: str
) -> None:
    assert KINDS[kind].refers
    assert coded(record_errors(kind, refers_to=refers_to)) == [("/refers_to", code)]


@pytest.mark.parametrize("kind", ["same-ski", "distinct-ski", "dispute", "erasure", "key"])
def test_what_shops_say_of_each_other_is_not_corrected(kind: str) -> None:
    example = example_record(kind)
    whole = {"kind": kind, "performed_at": "2025-01-31", "body": example["body"]}
    body = {"reason": "omitted", "replacement": whole}
    assert coded(record_errors("correction", body=body)) == [("/body/replacement", "unknown-kind")]


@pytest.mark.parametrize("kind", sorted(WITHOUT_SKI))
def test_a_client_sends_no_draft_of_a_key(kind: str) -> None:
    assert kind not in KINDS_ABOUT_A_SKI
    with pytest.raises(InvalidRecord) as caught:
        read_draft(kind, example_draft(kind), node_host=HOST)
    assert coded(caught.value.errors) == [("/kind", "unknown-kind")]


@pytest.mark.parametrize("kind", sorted(BY_NODE))
def test_a_nodes_draft_names_no_other_author(kind: str) -> None:
    with pytest.raises(InvalidRecord) as caught:
        read_any_draft(kind, {**example_draft(kind), "author": "fellbench"})
    assert coded(caught.value.errors) == [("/author", "not-the-node")]
    draft = read_any_draft(kind, {**example_draft(kind), "author": "node"})
    assert compose(draft, author=NODE, key=KEY, salt=SALT) == example_record(kind)
    with pytest.raises(InvalidRecord, match="leave the author out"):
        compose(draft, author="node@elsewhere.example", key=KEY)


def test_a_draft_completes_codes_and_tags() -> None:
    other = {"shop": "tarnside", "tag": "ts-7"}
    said = accepted_body("same-ski", {**SAME, "other_ski": other})
    assert said["other_ski"] == {"shop": f"tarnside@{HOST}", "tag": "TS-7"}
    said = accepted_body("key-end", {**KEY_END, "shop": "node"})
    assert said["shop"] == NODE
    draft = read_draft("dispute", draft_of("dispute", {"reason": "wrong_ski"}), node_host=HOST)
    assert draft.refers_to == (RECORD,)

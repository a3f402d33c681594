"""What must never be in the tables of peers, the database refuses; each rule from both sides."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest
from django.apps import apps
from django.db import IntegrityError, models, transaction
from django.utils import timezone

from apps.exchange.models import Peer

HEX = "ab" * 32
NOW = timezone.now()
PEER = {
    "host": "tarn.example",
    "url": "https://tarn.example",
    "vkey": "tarn.example/log+00000000+AQ",
    "size": 2,
    "checkpoint_size": 3,
    "added_at": NOW,
}
OF_PEER = {"peer_id": "known.example", "index": 0}
TABLES: Mapping[str, Mapping[str, Any]] = {
    "Peer": PEER,
    "PeerEntry": {**OF_PEER, "record_id": HEX},
    "PeerRefusal": {
        **OF_PEER,
        "record_id": HEX,
        "code": "erased",
        "sentence": "It was erased.",
        "noted_at": NOW,
        "tried_at": NOW,
    },
    "Evidence": {"host": "tarn.example", "kind": "forked", "sentence": "Two.", "found_at": NOW},
    "Cosignature": {
        "witness": "tarn.example",
        "size": 1,
        "root": HEX,
        "line": "- x",
        "noted_at": NOW,
    },
}
REFUSED: tuple[tuple[str, str, Mapping[str, Any]], ...] = (
    ("peer_state", "Peer", {"state": "asleep", "reason": "It sleeps."}),
    ("peer_stopped_for_a_reason", "Peer", {"state": "stopped"}),
    ("peer_stopped_for_a_reason", "Peer", {"reason": "It goes on."}),
    ("peer_rows_within_checkpoint", "Peer", {"size": 4}),
    ("peer_rows_within_checkpoint", "Peer", {"size": -1, "reread": -1}),
    ("peer_rereads_old_rows", "Peer", {"reread": 3}),
    ("peer_entry_from_zero", "PeerEntry", {"index": -1}),
    ("peer_entry_id_length", "PeerEntry", {"record_id": "ab"}),
    ("peer_refusal_for_a_reason", "PeerRefusal", {"code": ""}),
    ("evidence_kind", "Evidence", {"kind": "dreamt"}),
    ("cosignature_size_from_zero", "Cosignature", {"size": -1}),
)


@pytest.fixture
def known(db: None) -> Peer:
    """A peer that rows can belong to."""
    row = {**PEER, "host": "known.example", "vkey": "known.example/log+00000000+AQ"}
    return Peer._default_manager.create(**row)


def make(table: str, **members: Any) -> None:
    """Store a row, or leave everything as it was."""
    with transaction.atomic():
        apps.get_model("exchange", table)._default_manager.create(**{**TABLES[table], **members})


@pytest.mark.parametrize(("name", "table", "bad"), REFUSED)
def test_the_database_refuses_it(
    known: Peer, name: str, table: str, bad: Mapping[str, Any]
) -> None:
    with pytest.raises(IntegrityError) as caught:
        make(table, **bad)
    # Where two are broken each database names the one that it looks at first.
    assert name in str(caught.value) or (len(bad) > 1 and "peer_" in str(caught.value))
    make(table)


def test_every_named_check_is_seen() -> None:
    named = {
        constraint.name
        for table in TABLES
        for constraint in apps.get_model("exchange", table)._meta.constraints
        if isinstance(constraint, models.CheckConstraint)
    }
    assert {name for name, _, _ in REFUSED} == named


def test_a_key_is_pinned_for_one_peer(known: Peer) -> None:
    with pytest.raises(IntegrityError):
        make("Peer", vkey=known.vkey)

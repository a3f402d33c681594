"""The operations on the log: its checkpoint, its proofs, and its rows."""

from __future__ import annotations

from apps.api import problem_types as types
from apps.api.answers.log import ConsistencyAnswer, InclusionAnswer, LogPage
from apps.api.answers.records import EXAMPLE_SIGNATURE
from apps.api.log_query import CheckpointQuery, ConsistencyQuery, ProofQuery, RowsQuery
from apps.api.openapi_texts import EXCHANGE
from apps.api.operations import Answer, Operation
from apps.records.checkpoint import Checkpoint, log_origin
from apps.records.examples import RECORD, example_record
from apps.records.signing import PrivateKey
from apps.registry.actors import Scope

NO_KEY = "Needs no key; with one, the rate of the key counts and not that of the address."
# Roots of a made-up log of one and of two records.
ROOT_1 = "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d"
ROOT_2 = "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125"
SIBLING = "96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7"
TEXT = "text/plain; charset=utf-8"


def example_checkpoint() -> str:
    """Give the checkpoint of a made-up log, signed with a made-up key."""
    key = PrivateKey.from_seed(b"example".ljust(32, b"."))
    return (
        Checkpoint(log_origin("node.example"), 2, bytes.fromhex(ROOT_2)).signed(key).data.decode()
    )


CHECKPOINT = Operation(
    id="read_checkpoint",
    tag=EXCHANGE,
    summary="Read the signed checkpoint of the log",
    description="Origin, size and root (base64) of the log in a signed note as C2SP "
    "tlog-checkpoint says, signed by the node, with the cosignatures of the peers that saw it. "
    f"Whoever holds one can tell later whether the log was rewritten. {NO_KEY}",
    answer=Answer("The checkpoint.", example=example_checkpoint, media_type=TEXT),
    scope=None,
    query=CheckpointQuery,
    heeds_key=True,
)

PROOF = Operation(
    id="prove_record",
    tag=EXCHANGE,
    summary="Prove that a record stands at its place in the log",
    description="The inclusion proof of RFC 6962. Hash the leaf (a byte 0x00 and the 32 bytes of "
    "the record's id), climb with `hashes`, and compare with the root of a checkpoint of that "
    f"size. The proof of an erased record holds too. {NO_KEY}",
    answer=Answer(
        "The proof.",
        InclusionAnswer,
        {"record": RECORD, "index": 0, "size": 2, "root": ROOT_2, "hashes": [SIBLING]},
    ),
    scope=None,
    query=ProofQuery,
    problems=(types.UNKNOWN_RECORD,),
    heeds_key=True,
)

CONSISTENCY = Operation(
    id="prove_consistency",
    tag=EXCHANGE,
    summary="Prove that the log only grew between two sizes",
    description="The consistency proof of RFC 6962: the first `old` records are those of the "
    f"older tree, unchanged and in the same order. {NO_KEY}",
    answer=Answer(
        "The proof.",
        ConsistencyAnswer,
        {"old": 1, "size": 2, "old_root": ROOT_1, "root": ROOT_2, "hashes": [SIBLING]},
    ),
    scope=None,
    query=ConsistencyQuery,
    heeds_key=True,
)

ROWS = Operation(
    id="list_log",
    tag=EXCHANGE,
    summary="Read the log, row after row",
    description="Every record of the node in the order of its log, for a peer that follows it: "
    "from `from` on and below the fixed bound `until`. A row whose record was erased has "
    "`erased_by` in place of `signature` and `record`. Follow `next` until it is absent; then ask "
    "again from `until` on.",
    answer=Answer(
        "A page of the log.",
        LogPage,
        {
            "size": 42,
            "until": 42,
            "items": [
                {
                    "index": 41,
                    "id": RECORD,
                    "signature": EXAMPLE_SIGNATURE,
                    "record": example_record("job"),
                }
            ],
        },
    ),
    scope=Scope.FEED,
    query=RowsQuery,
)

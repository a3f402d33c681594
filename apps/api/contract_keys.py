"""The operations on signing keys and on records that a shop signed itself."""

from __future__ import annotations

from typing import Any

from apps.api import problem_types as types
from apps.api.answers.keys import KeyAnswer, KeysAnswer
from apps.api.answers.records import RecordAnswer, example_answer
from apps.api.contract_kinds import LOCATION
from apps.api.key_requests import (
    END_EXAMPLE,
    KEY_EXAMPLE,
    SIGNED_EXAMPLE,
    KeyEnding,
    NewKey,
    SignedRecord,
)
from apps.api.openapi_texts import EXCHANGE
from apps.api.operations import WRITING, Answer, Operation
from apps.registry.actors import Scope

LIST_ADDRESS = {"Location": "Address of the own keys."}
EXAMPLE_KEY: dict[str, Any] = {
    "key": "kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k",
    "shop": "fellbench@node.example",
    "public": KEY_EXAMPLE["public"],
    "held_by": "shop",
    "state": "live",
    "record": "2d5e01a318d0f0879ab568c4be289c8b1f64ef8921a53c6277d5e069978baacb",
    "valid_from": 41,
}

REGISTER = Operation(
    id="register_key",
    tag=EXCHANGE,
    summary="Register an own signing key",
    description="The shop makes an Ed25519 key pair, keeps the private half and registers the "
    "public one with a proof that it holds both. From then on it signs its records itself and "
    "hands them in with `PUT /records/{id}`; the key that the node kept for it ends in the same "
    "call, and with it every call in which the node writes for the shop. Two own keys may live at "
    "once, so that one can replace the other without a gap.",
    answer=Answer("The key.", KeyAnswer, EXAMPLE_KEY, headers=LIST_ADDRESS),
    status=201,
    scope=Scope.KEYS,
    cost="write",
    request=NewKey,
    request_examples={"usual": KEY_EXAMPLE},
    problems=(types.BAD_SIGNATURE, types.KEY_LIMIT, types.WRONG_STATE, types.STORAGE_FULL),
    idempotent=True,
)
LIST = Operation(
    id="list_keys",
    tag=EXCHANGE,
    summary="List the own signing keys",
    description="Those that ended too. Each is brought in and ended by a record of the log.",
    answer=Answer("The keys.", KeysAnswer, {"items": [EXAMPLE_KEY]}),
    scope=Scope.KEYS,
)
END = Operation(
    id="end_key",
    tag=EXCHANGE,
    summary="End an own signing key",
    description="The key ends at this place of the log. What it signed before stands; what it "
    "signs from now on is refused, whatever date it bears. What a thief wrote before is taken "
    "back by retractions, signed with any live key of the shop.",
    answer=Answer(
        "The key.",
        KeyAnswer,
        {**EXAMPLE_KEY, "state": "ended", "ended_by": EXAMPLE_KEY["record"], "ends_at": 97},
        headers=LIST_ADDRESS,
    ),
    scope=Scope.KEYS,
    cost="write",
    request=KeyEnding,
    request_examples={"usual": END_EXAMPLE},
    problems=(types.UNKNOWN_KEY, types.WRONG_STATE, types.STORAGE_FULL),
    idempotent=True,
)
PUT = Operation(
    id="put_record",
    tag=EXCHANGE,
    summary="Hand in a record that the shop signed itself",
    description="The address is the id of the record, so the same call sent again changes "
    "nothing: it is answered 200 where the record is here already. The record passes the same "
    "checks as one that the node writes for a shop. A correction, a retraction or a dispute of a "
    "record that isn't here yet is taken, and waits for it. A record of a later format is kept "
    "and relayed, and counts nowhere until this node can read it.",
    answer=Answer("The record.", RecordAnswer, example_answer("usage"), headers=LOCATION),
    status=201,
    repeated=200,
    scope=Scope.WRITE,
    cost="write",
    request=SignedRecord,
    request_examples={"usual": SIGNED_EXAMPLE},
    problems=(*WRITING, types.BAD_SIGNATURE, types.WRONG_ID, types.ERASED),
)

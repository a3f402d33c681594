"""The operations on webhooks: add, list, read, resume, replay, remove."""

from __future__ import annotations

from typing import Any

from apps.api import problem_types as types
from apps.api.answers.webhooks import (
    NewWebhookAnswer,
    RemovedWebhookAnswer,
    WebhookAnswer,
    WebhookItemAnswer,
    WebhooksAnswer,
)
from apps.api.contract_kinds import LOCATION
from apps.api.openapi_texts import EXCHANGE
from apps.api.operations import Answer, Operation
from apps.api.webhook_requests import (
    EXAMPLE,
    REPLAY_EXAMPLE,
    NewWebhook,
    WebhookReplay,
    WebhookResume,
)
from apps.registry.actors import Scope

EXAMPLE_WEBHOOK: dict[str, Any] = {
    "id": "wh_5f0c2f1e9d0b4a6c8e1d2b3a",
    **EXAMPLE,
    "state": "active",
    "told": 120,
    "created_at": "2025-01-31T15:04:05.000Z",
}
# Not a secret of anyone: the key of RFC 4231 test case 1, twelve bytes longer.
EXAMPLE_SECRET = "whsec_CwsLCwsLCwsLCwsLCwsLCwsLCwsLCwsLCwsLCwsLCws="  # noqa: S105
EXAMPLE_DELIVERY: dict[str, Any] = {
    "id": "msg_9d0b4a6c8e1d2b3a4c5d6e7f",
    "from": 118,
    "until": 120,
    "outcome": "delivered",
    "tries": 1,
    "last_answer": "The receiver answered with status 204.",
    "made_at": "2025-01-31T15:05:00.000Z",
}

ADD = Operation(
    id="add_webhook",
    tag=EXCHANGE,
    summary="Be told when the log has grown",
    description="Messages are signed by Standard Webhooks with the secret of the answer, which is "
    "shown only now. A message has the type `log.grown` and says no more than which stretch of "
    "the log is new; what is in it is read from the node.",
    answer=Answer(
        "The webhook, with its secret.",
        NewWebhookAnswer,
        {**EXAMPLE_WEBHOOK, "secret": EXAMPLE_SECRET},
        headers=LOCATION,
    ),
    status=201,
    scope=Scope.WRITE,
    cost="write",
    request=NewWebhook,
    request_examples={"usual": EXAMPLE},
    problems=(types.WRONG_STATE, types.STORAGE_FULL),
    idempotent=True,
)
LIST = Operation(
    id="list_webhooks",
    tag=EXCHANGE,
    summary="List the own webhooks",
    description="Without their secrets.",
    answer=Answer("The webhooks.", WebhooksAnswer, {"items": [EXAMPLE_WEBHOOK]}),
    scope=Scope.WRITE,
)
READ = Operation(
    id="read_webhook",
    tag=EXCHANGE,
    summary="Read a webhook and its last messages",
    description="Says of each message how often it was tried and what came of it.",
    answer=Answer(
        "The webhook.", WebhookItemAnswer, {**EXAMPLE_WEBHOOK, "deliveries": [EXAMPLE_DELIVERY]}
    ),
    scope=Scope.WRITE,
    problems=(types.UNKNOWN_WEBHOOK,),
)
REMOVE = Operation(
    id="remove_webhook",
    tag=EXCHANGE,
    summary="Remove a webhook",
    description="It is told nothing more; a message under way may still arrive.",
    answer=Answer("The webhook as it was.", RemovedWebhookAnswer, EXAMPLE_WEBHOOK),
    scope=Scope.WRITE,
    cost="write",
    problems=(types.UNKNOWN_WEBHOOK, types.STORAGE_FULL),
)
RESUME = Operation(
    id="resume_webhook",
    tag=EXCHANGE,
    summary="Go on after a pause",
    description="The next message begins where telling ended, or at the end of the log with "
    "`skip`. A webhook that is active stays as it is.",
    answer=Answer("The webhook.", WebhookAnswer, EXAMPLE_WEBHOOK),
    scope=Scope.WRITE,
    cost="write",
    request=WebhookResume,
    request_examples={"usual": {}},
    problems=(types.UNKNOWN_WEBHOOK, types.STORAGE_FULL),
)
REPLAY = Operation(
    id="replay_webhook",
    tag=EXCHANGE,
    summary="Be told again from a place of the log",
    description="The next message begins at that place and has a new id of its own.",
    answer=Answer("The webhook.", WebhookAnswer, EXAMPLE_WEBHOOK),
    scope=Scope.WRITE,
    cost="write",
    request=WebhookReplay,
    request_examples={"usual": REPLAY_EXAMPLE},
    problems=(types.UNKNOWN_WEBHOOK, types.WRONG_STATE, types.STORAGE_FULL),
)

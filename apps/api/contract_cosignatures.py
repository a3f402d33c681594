"""The operation by which a peer vouches for what it saw of the log."""

from __future__ import annotations

from apps.api import problem_types as types
from apps.api.answers.cosignatures import CosignatureAnswer
from apps.api.cosignature_request import EXAMPLE, NewCosignature
from apps.api.openapi_texts import EXCHANGE
from apps.api.operations import Answer, Operation
from apps.registry.actors import Scope

COSIGN = Operation(
    id="cosign_checkpoint",
    tag=EXCHANGE,
    summary="Vouch for a checkpoint of this log",
    description="A peer that has pulled the log up to a checkpoint, and found that it only grew, "
    "hands its cosignature in. The node keeps the latest of each peer that it follows itself, and "
    "shows it with the checkpoint that it is for. The same one twice changes nothing.",
    answer=Answer(
        "What is kept of this peer.", CosignatureAnswer, {"witness": "lake.example", "size": 42}
    ),
    scope=Scope.FEED,
    cost="write",
    request=NewCosignature,
    request_examples={"checkpoint": EXAMPLE},
    problems=(types.WRONG_STATE,),
)

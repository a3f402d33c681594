"""The operations on a ski."""

from __future__ import annotations

from apps.api import problem_types as types
from apps.api.answers.history import HistoryPage
from apps.api.answers.records import example_answer
from apps.api.answers.ski import RegisteredAnswer, SkiAnswer
from apps.api.contract_examples import SHAPE
from apps.api.history_query import HistoryQuery
from apps.api.joined import LinksQuery, alone
from apps.api.openapi_texts import SKIS
from apps.api.operations import WRITING, Answer, Operation
from apps.api.registration import EXAMPLE, SkiRegistration
from apps.records.examples import RECORD, SKI, example_draft
from apps.records.place import SkiTag
from apps.registry.actors import Scope

FOREIGN = "A look at another shop's tag is noted, so that its shop can see who looked."
LINKS = {
    "self": "/api/v1/skis/fellbench/FB-0042",
    "history": "/api/v1/skis/fellbench/FB-0042/history",
    "condition": "/api/v1/skis/fellbench/FB-0042/condition",
    "plan": "/api/v1/skis/fellbench/FB-0042/plan",
    "pair": "/api/v1/skis/fellbench/FB-0042/pair",
    "like": "/api/v1/skis/fellbench/FB-0042/like",
    "wear": "/api/v1/skis/fellbench/FB-0042/wear",
    "bundle": "/api/v1/skis/fellbench/FB-0042/bundle",
}
JOINED = alone(SkiTag.model_validate(SKI)).model_dump(mode="json")
_BODY = example_draft("description")["body"]

REGISTER = Operation(
    id="register_ski",
    tag=SKIS,
    summary="Register a ski under a tag",
    description="Puts a tag of the own shop on a ski, with what is known of it. The tag exists "
    "from then on. Any shop that holds the exact tag may read the ski and write jobs, "
    "measurements, bevel settings and descriptions on it under its own name.",
    answer=Answer(
        "The description that registered the ski.",
        RegisteredAnswer,
        {**example_answer("description"), "links": LINKS},
        headers={"Location": "Address of the ski."},
    ),
    status=201,
    scope=Scope.WRITE,
    cost="write",
    request=SkiRegistration,
    request_examples={"usual": EXAMPLE, "least": {"ski": {"tag": "FB-0042"}}},
    problems=(*WRITING, types.TAG_EXISTS),
    idempotent=True,
)

READ = Operation(
    id="read_ski",
    tag=SKIS,
    summary="Read what a ski is",
    description="Tags, what descriptions say together, widths and turn radius with their method, "
    f"status, pairs, and where to go on. {FOREIGN}",
    answer=Answer(
        "The ski.",
        SkiAnswer,
        {
            "ski": SKI,
            "tags": [SKI],
            "description": _BODY,
            "described_by": dict.fromkeys(_BODY, RECORD),
            "shape": SHAPE,
            "status": {"record": RECORD, "day": "2025-01-31", "status": "in_service"},
            "pairs": [],
            "joined": JOINED,
            "links": LINKS,
        },
    ),
    query=LinksQuery,
    problems=(types.UNKNOWN_SKI,),
)

HISTORY = Operation(
    id="read_history",
    tag=SKIS,
    summary="Read all records of a ski",
    description="By default folded and in the order of time: each original record with its "
    "`state`, its corrections and retractions; nothing is left out. With `raw=true` every record "
    "by itself in the order of the log. A page ends at `limit`; follow `next`. The bound `until` "
    f"stays as the first page set it, so what is written meanwhile changes no page. {FOREIGN}",
    answer=Answer(
        "A page of the history.",
        HistoryPage,
        {
            "joined": JOINED,
            "until": 42,
            "items": [{**example_answer("job"), "state": "stands"}],
        },
    ),
    query=HistoryQuery,
    problems=(types.UNKNOWN_SKI, types.JOINED_OTHERWISE),
)

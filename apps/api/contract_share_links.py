"""The operations on share links: make, list, end."""

from __future__ import annotations

from typing import Any

from apps.api import problem_types as types
from apps.api.answers.share_links import (
    EndedShareLinkAnswer,
    NewShareLinkAnswer,
    ShareLinksAnswer,
)
from apps.api.openapi_texts import EXCHANGE
from apps.api.operations import Answer, Operation
from apps.api.share_link_requests import EXAMPLE, NewShareLinkRequest, ShareLinkQuery
from apps.registry.actors import Scope

EXAMPLE_TOKEN = f"skishare_k7m2qzta_{'A' * 43}"
EXAMPLE_LINK: dict[str, Any] = {
    "prefix": "k7m2qzta",
    "shop": "fellbench@node.example",
    "tag": "FB-0042",
    "state": "live",
    "created_at": "2025-01-31T15:04:05.000Z",
    "expires_at": "2025-02-14T15:04:05.000Z",
    "opened": 0,
}
OPENED: dict[str, Any] = {
    **EXAMPLE_LINK,
    "opened": 2,
    "last_opened_at": "2025-02-01T09:30:00.000Z",
}

MAKE = Operation(
    id="make_share_link",
    tag=EXCHANGE,
    summary="Show a ski to somebody without a log-in",
    description="The link opens the page of one ski of the own shop, for 62 days at most. Whoever "
    "has it sees the state, the visits and the records behind them, but no technician, no remarks "
    "and no bundle. The token is in the answer and nowhere else, so no `Idempotency-Key` is heeded "
    "here: nothing that was kept could show it again. Where an answer was lost, end the link and "
    "make another one.",
    answer=Answer(
        "The link, with its token.",
        NewShareLinkAnswer,
        {**EXAMPLE_LINK, "token": EXAMPLE_TOKEN, "page": f"/s/{EXAMPLE_TOKEN}"},
        headers={"Location": "Address of the own links."},
    ),
    status=201,
    scope=Scope.WRITE,
    cost="write",
    request=NewShareLinkRequest,
    request_examples={"usual": EXAMPLE},
    problems=(types.UNKNOWN_REFERENCE, types.STORAGE_FULL),
)
LIST = Operation(
    id="list_share_links",
    tag=EXCHANGE,
    summary="List the own share links",
    description="The latest first, without their tokens; those that ended too.",
    answer=Answer("The links.", ShareLinksAnswer, {"items": [OPENED]}),
    query=ShareLinkQuery,
)
END = Operation(
    id="end_share_link",
    tag=EXCHANGE,
    summary="End a share link",
    description="It works no more from now on. Ending it a second time changes nothing.",
    answer=Answer(
        "The link.",
        EndedShareLinkAnswer,
        {**OPENED, "state": "revoked", "revoked_at": "2025-02-03T08:00:00.000Z"},
    ),
    scope=Scope.WRITE,
    cost="write",
    problems=(types.UNKNOWN_SHARE_LINK, types.STORAGE_FULL),
)

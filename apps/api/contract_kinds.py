"""The operations that every kind of record has: list, write, read by id."""

from __future__ import annotations

from apps.api import problem_types as types
from apps.api.answers.records import ANSWERS, PAGES, example_answer
from apps.api.kinds import KindRoute
from apps.api.lists import ListQuery
from apps.api.operations import WRITING, Answer, Operation
from apps.records.examples import example_draft
from apps.records.kinds import KINDS
from apps.registry.actors import Scope

PAGING = (
    "Pages go by log position. The first page sets the bound `until`; follow `next` until it is "
    "absent. What is written meanwhile stands beyond the bound, so no item is missed or doubled."
)
LOCATION = {"Location": "Address of the new record."}


def listing(route: KindRoute) -> Operation:
    """List the records of a kind that the shop wrote."""
    return Operation(
        id=f"list_{route.segment.replace('-', '_')}",
        tag=route.tag,
        summary=f"List own {route.many}",
        description=f"The {route.many} that the shop of the key wrote, as they were written: what "
        "was corrected or retracted since is not marked here but in the history of the ski. "
        f"{PAGING}",
        answer=Answer(
            "A page.",
            PAGES[route.kind],
            {"until": 42, "items": [example_answer(route.kind)]},
        ),
        query=ListQuery,
    )


def writing(route: KindRoute) -> Operation:
    """Write one record of a kind."""
    return Operation(
        id=f"write_{route.name}",
        tag=route.tag,
        summary=f"Write {route.one}",
        description=f"{route.note} The node fills in author, key and salt, signs the record and "
        "appends it to its log.",
        answer=Answer(
            "The record as it was written.",
            ANSWERS[route.kind],
            example_answer(route.kind),
            headers=LOCATION,
        ),
        status=201,
        scope=Scope.WRITE,
        cost="write",
        request=KINDS[route.kind].draft,
        request_examples={"usual": example_draft(route.kind)},
        problems=WRITING,
        idempotent=True,
    )


def reading(route: KindRoute) -> Operation:
    """Read one record of a kind by its id."""
    return Operation(
        id=f"read_{route.name}",
        tag=route.tag,
        summary=f"Read {route.one}",
        description="An own record, one on an own ski, or one on a ski whose tag was looked up.",
        answer=Answer("The record.", ANSWERS[route.kind], example_answer(route.kind)),
        problems=(types.UNKNOWN_RECORD, types.ERASED),
    )

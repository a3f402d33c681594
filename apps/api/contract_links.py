"""The operations on links: say that tags are on one ski or on two, and put another tag on."""

from __future__ import annotations

from typing import Any

from apps.api import problem_types as types
from apps.api.answers.links import LinkAnswer, LinkPage, LinkWrittenAnswer, RetaggedAnswer
from apps.api.answers.records import example_answer
from apps.api.contract_kinds import LOCATION, PAGING
from apps.api.contract_skis import JOINED, LINKS
from apps.api.links import EXAMPLE, RETAG_EXAMPLE, LinkRequest, RetagRequest
from apps.api.lists import ListQuery
from apps.api.openapi_texts import RECORDS, SKIS
from apps.api.operations import WRITING, Answer, Operation
from apps.records.examples import OTHER_SHOP_SKI, RECORD, SKI
from apps.registry.actors import Scope

ONE_SIDED: dict[str, Any] = {
    **JOINED,
    "statements": [
        {
            "record": RECORD,
            "author": SKI["shop"],
            "says": "same",
            "ski": SKI,
            "other_ski": OTHER_SHOP_SKI,
            "standing": "one-sided",
        }
    ],
}
NEW_SKI = {"shop": SKI["shop"], "tag": RETAG_EXAMPLE["tag"]}

LIST = Operation(
    id="list_links",
    tag=RECORDS,
    summary="List own links",
    description="The links of both kinds that the shop of the key wrote, as they were written: "
    f"what was taken back since is not marked here but in the history of the ski. {PAGING}",
    answer=Answer("A page.", LinkPage, {"until": 42, "items": [example_answer("same-ski")]}),
    query=ListQuery,
)

WRITE = Operation(
    id="write_link",
    tag=RECORDS,
    summary="Say that two tags are on one ski, or on two",
    description="Only by the shop of one of the two tags. `same-ski` joins the two for readers "
    "once the shops of both tags say so, and by `links=all` before; of one shop's own two tags it "
    "joins at once. `distinct-ski` of two tags that hang together sets all of them apart. A ski "
    "has eight tags at most; more are shown apart. To undo a link, retract its record.",
    answer=Answer(
        "The record as it was written, and what came of it.",
        LinkWrittenAnswer,
        {**example_answer("same-ski"), "joined": ONE_SIDED},
        headers=LOCATION,
    ),
    status=201,
    scope=Scope.WRITE,
    cost="write",
    request=LinkRequest,
    request_examples={"usual": EXAMPLE},
    problems=WRITING,
    idempotent=True,
)

READ = Operation(
    id="read_link",
    tag=RECORDS,
    summary="Read a link",
    description="An own record, one on an own ski, or one on a ski whose tag was looked up.",
    answer=Answer("The record.", LinkAnswer, example_answer("same-ski")),
    problems=(types.UNKNOWN_RECORD, types.ERASED),
)

RETAG = Operation(
    id="retag_ski",
    tag=SKIS,
    summary="Put another tag on an own ski",
    description="For a label that was lost or can't be read: registers the new tag and links the "
    "old one with it, both or neither. The history is joined from then on, under either tag; the "
    "old one stays on the ski and is never used for another.",
    answer=Answer(
        "The ski under its new tag.",
        RetaggedAnswer,
        {
            "ski": NEW_SKI,
            "description": example_answer("description"),
            "link": example_answer("same-ski"),
            "joined": {**JOINED, "tags": [SKI, NEW_SKI]},
            "links": LINKS,
        },
        headers={"Location": "Address of the ski under its new tag."},
    ),
    status=201,
    scope=Scope.WRITE,
    cost="write",
    request=RetagRequest,
    request_examples={"usual": RETAG_EXAMPLE},
    problems=(*WRITING, types.UNKNOWN_SKI, types.TAG_EXISTS),
    idempotent=True,
)

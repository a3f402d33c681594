"""Makes the shops, keys, skis and drafts that tests of the API start from."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

from django.conf import settings

from apps.records.examples import BODIES
from apps.registry import actions
from apps.registry.actors import BENCH_SCOPES, OPERATOR, Scope
from tests.api.client import Answered, ApiClient

TAG = "FB-0042"
DAY = "2025-01-31"


def handle_of(code: str) -> str:
    """The handle of a shop of this node."""
    return f"{code}@{settings.NODE_HOST}"


def a_client(code: str, *scopes: Scope, new: bool = True) -> ApiClient:
    """A client of a shop, which is added unless it is there."""
    if new:
        actions.add_shop(code=code, by=OPERATOR)
    issued = actions.issue_api_key(shop=handle_of(code), scopes=scopes or BENCH_SCOPES, by=OPERATOR)
    return ApiClient(issued.token, handle_of(code))


def draft(kind: str, *, tag: str = TAG, shop: str = "fellbench", **members: Any) -> dict[str, Any]:
    """What a client sends for a record of a kind."""
    body = deepcopy(BODIES[kind])
    return {"ski": {"shop": shop, "tag": tag}, "performed_at": DAY, "body": body, **members}


def register(client: ApiClient, tag: str, **body: Any) -> str:
    """Register a ski; gives its address."""
    document = {"ski": {"tag": tag}, "performed_at": DAY, "body": body or BODIES["description"]}
    answer = client.post("skis", document)
    assert answer.status == 201, answer.content
    return answer.headers["Location"]


def write(client: ApiClient, segment: str, document: dict[str, Any]) -> Answered:
    """Write a record that is well."""
    answer = client.post(segment, document)
    assert answer.status == 201, answer.content
    return answer

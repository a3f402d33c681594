"""The log as peers and sceptics read it: checkpoint, proofs, and rows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from rest_framework.request import Request
from rest_framework.response import Response

from apps.api import contract_log
from apps.api.addresses import next_page, unknown_record
from apps.api.log_query import (
    CheckpointQuery,
    ConsistencyQuery,
    ProofQuery,
    RowsQuery,
    one_of_two,
    wrong,
)
from apps.api.operations import Operation
from apps.api.rendering import JSONRenderer, Verbatim
from apps.api.stored import row_members
from apps.api.views.base import ApiView
from apps.exchange.feed import read_rows
from apps.exchange.log import checkpoint_text
from apps.registry import tree
from apps.registry.errors import UnknownPlace
from apps.registry.models import Record


class TextRenderer(JSONRenderer):
    """Plain text; a problem passes through it as JSON."""

    media_type = "text/plain"
    format = "txt"
    charset = "utf-8"


@contextmanager
def places(parameter: str) -> Iterator[None]:
    """Say which parameter names a place that the log hasn't.

    Raises
    ------
    Problem
        `invalid-parameters`.
    """
    try:
        yield
    except UnknownPlace as error:
        raise wrong(parameter, "no-such-place", error.sentence) from error


class LogCheckpoint(ApiView):
    """The checkpoint."""

    operations: Mapping[str, Operation] = {"GET": contract_log.CHECKPOINT}
    renderer_classes = (TextRenderer,)

    def get(self, _request: Request) -> Response:
        """Show it."""
        query = self.query_as(CheckpointQuery)
        with places("size"):
            return Response(Verbatim(checkpoint_text(query.size).encode()))


class LogProof(ApiView):
    """The proof that a record is in the log."""

    operations: Mapping[str, Operation] = {"GET": contract_log.PROOF}

    def get(self, _request: Request) -> Response:
        """Give it."""
        query = self.query_as(ProofQuery)
        one_of_two(query)
        size = tree.log_size() if query.size is None else query.size
        record_id, index = _place_of(query)
        with places("size"):
            return Response(
                {
                    "record": record_id,
                    "index": index,
                    "size": size,
                    "root": tree.root(size).hex(),
                    "hashes": _hex(tree.inclusion(index, size)),
                }
            )


def _place_of(query: ProofQuery) -> tuple[str, int]:
    named: dict[str, Any] = {"id": query.record, "log_index": query.index}
    records = Record.objects.filter(**{k: v for k, v in named.items() if v is not None})
    found = records.values_list("id", "log_index").first()
    if found is not None:
        return found
    if query.record is not None:
        raise unknown_record()
    raise wrong("index", "no-such-place", f"The log has no place {query.index} yet.")


class LogConsistency(ApiView):
    """The proof that the log only grew."""

    operations: Mapping[str, Operation] = {"GET": contract_log.CONSISTENCY}

    def get(self, _request: Request) -> Response:
        """Give it."""
        query = self.query_as(ConsistencyQuery)
        size = tree.log_size() if query.size is None else query.size
        with places("size"):
            root = tree.root(size)
        with places("old"):
            return Response(
                {
                    "old": query.old,
                    "size": size,
                    "old_root": tree.root(query.old).hex(),
                    "root": root.hex(),
                    "hashes": _hex(tree.consistency(query.old, size)),
                }
            )


def _hex(hashes: tuple[bytes, ...]) -> list[str]:
    return [one.hex() for one in hashes]


class LogRows(ApiView):
    """The rows of the log."""

    operations: Mapping[str, Operation] = {"GET": contract_log.ROWS}

    def get(self, request: Request) -> Response:
        """List them, a page at a time."""
        query = self.query_as(RowsQuery)
        size = tree.log_size()
        until = size if query.until is None else query.until
        if until > size:
            sentence = f"The log has {size} records, and not {until} yet."
            raise wrong("until", "no-such-place", sentence)
        page = read_rows(start=query.start, until=until, limit=query.limit)
        items = [row_members(row) for row in page.rows]
        answer: dict[str, object] = {"size": size, "until": until, "items": items}
        if page.next_index is not None:
            following = {"from": page.next_index, "until": until}
            answer["next"] = next_page(request.path, request.GET, **following)
        return Response(answer)

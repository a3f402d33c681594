"""Lines of JSON (NDJSON) that are written while they are sent."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from django.http import StreamingHttpResponse

from apps.api.rendering import JSONRenderer
from apps.exchange.exports import MEDIA_TYPE


class NdjsonRenderer(JSONRenderer):
    """Stands for lines of JSON when the format is agreed on.

    Only what goes wrong passes through it, and a problem is JSON whatever was asked for.
    """

    media_type = MEDIA_TYPE
    format = "ndjson"


class Chunks:
    """Pieces of an answer, and what is to be closed when they are sent or nobody reads on."""

    def __init__(self, pieces: Iterator[bytes], *closers: Callable[[], object]) -> None:
        self.pieces = pieces
        self.closers = closers

    def __iter__(self) -> Iterator[bytes]:
        """Give the pieces."""
        return self.pieces

    def close(self) -> None:
        """Close what they are made of."""
        for closer in self.closers:
            closer()


def ndjson_answer(chunks: Chunks, *, filename: str = "") -> StreamingHttpResponse:
    """Answer with lines that are written while they are sent."""
    headers = {"Content-Disposition": f'attachment; filename="{filename}"'} if filename else {}
    return StreamingHttpResponse(chunks, content_type=MEDIA_TYPE, headers=headers)

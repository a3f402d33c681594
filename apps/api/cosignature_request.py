"""What a peer sends that vouches for a checkpoint."""

from __future__ import annotations

from typing import Any, ClassVar

from pydantic import ConfigDict, Field, StrictStr

from apps.records.model import RecordModel

EXAMPLE: dict[str, Any] = {
    "note": "node.example/log\n2\n+sVCA+fMaWzw38tCySodnbr3CtnmIfS9jZhmLwDjwSU=\n\n"
    "\u2014 node.example/log (the log's own signature)\n"
    "\u2014 lake.example/log (the peer's cosignature)\n"
}


class NewCosignature(RecordModel):
    """A checkpoint of this node's log with a peer's cosignature under it."""

    model_config = ConfigDict(json_schema_extra={"examples": [EXAMPLE]})

    is_draft: ClassVar[bool] = True

    note: StrictStr = Field(
        max_length=65536,
        description="The checkpoint as this node signed it, and below it the peer's line of C2SP "
        "tlog-cosignature, made with the key of the peer's own log.",
    )

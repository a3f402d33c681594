"""What a client sends and asks for about share links."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar

from pydantic import BeforeValidator, ConfigDict, Field, StrictInt

from apps.api.lists import Tag as QueriedTag
from apps.api.query import USUAL_ITEMS, Limit, Query
from apps.records.forms import fault, shown
from apps.records.model import RecordModel
from apps.records.primitives import Tag
from apps.registry.keys import PREFIX
from apps.registry.sharing import LONGEST_SHARE_DAYS

EXAMPLE: dict[str, Any] = {"tag": "FB-0042", "valid_days": 14}


def _prefix(value: object) -> object:
    if not PREFIX.fullmatch(str(value)):
        raise fault("not-a-place", f"{shown(value)} names no share link; follow `next` as it is.")
    return value


Prefix = Annotated[str, BeforeValidator(_prefix)]


class NewShareLinkRequest(RecordModel):
    """Which ski of the own shop is shown, and for how long."""

    model_config = ConfigDict(json_schema_extra={"examples": [EXAMPLE]})

    is_draft: ClassVar[bool] = True

    tag: Tag = Field(description="A tag of the own shop.")
    valid_days: StrictInt = Field(
        default=LONGEST_SHARE_DAYS,
        ge=1,
        le=LONGEST_SHARE_DAYS,
        description="How many days the link works.",
    )


class ShareLinkQuery(Query):
    """Which links are listed."""

    limit: Limit = Field(default=USUAL_ITEMS, description="Items on a page, 1 to 500.")
    after: Prefix | None = Field(
        default=None, description="Name of the link after which the page begins. Part of `next`."
    )
    tag: QueriedTag | None = Field(default=None, description="Only links to this tag.")

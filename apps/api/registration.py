"""What a client sends to put a tag on a ski."""

from __future__ import annotations

from typing import Any, ClassVar, cast

from django.conf import settings
from pydantic import ConfigDict, Field

from apps.api.drafts import now_text, object_of
from apps.records.description import DescriptionBodyDraft
from apps.records.envelope import DescriptionDraft
from apps.records.examples import example_draft
from apps.records.model import RecordModel
from apps.records.moments import PerformedAt
from apps.records.primitives import ShopHandle, Tag
from apps.records.reading import read_draft
from apps.registry.actors import Actor

EXAMPLE: dict[str, Any] = {
    "ski": {"tag": "FB-0042"},
    "body": example_draft("description")["body"],
}


class NewTag(RecordModel):
    """The tag that goes on the ski."""

    is_draft: ClassVar[bool] = True

    tag: Tag = Field(description="The tag as on the label; lower case is made upper case.")
    shop: ShopHandle | None = Field(
        default=None, description="The shop whose tag it is; the own one, also when left out."
    )


class SkiRegistration(RecordModel):
    """A new ski: its tag, and what is known of it."""

    model_config = ConfigDict(json_schema_extra={"examples": [EXAMPLE]})

    is_draft: ClassVar[bool] = True

    ski: NewTag = Field(description="The tag.")
    author: ShopHandle | None = Field(
        default=None, description="The shop that writes; the one of the key, also when left out."
    )
    performed_at: PerformedAt | None = Field(
        default=None,
        description="When it was described: a date, or a date-time with offset; now when left out.",
    )
    body: DescriptionBodyDraft | None = Field(
        default=None, description="What is known of the ski; may be left out."
    )


def read_registration(document: object, *, by: Actor) -> DescriptionDraft:
    """Read a registration as the description it becomes.

    Raises
    ------
    InvalidRecord
        With all that is wrong at once; the pointers are those of the registration.
    """
    given = object_of(document)
    ski = given.get("ski")
    filled = {"performed_at": now_text(), "body": {}, **given}
    if isinstance(ski, dict):
        filled["ski"] = {"shop": by.handle, **ski}
    return cast("DescriptionDraft", read_draft("description", filled, node_host=settings.NODE_HOST))

"""What a client sends to link two tags, or to put another tag on a ski."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, ClassVar, Literal

from django.conf import settings
from pydantic import ConfigDict, Field

from apps.api.drafts import now_text, object_of, only_own_name
from apps.records.envelope import Draft
from apps.records.errors import FieldError, InvalidRecord
from apps.records.examples import OTHER_SHOP_SKI, SKI
from apps.records.exchange_words import SameSkiEvidence
from apps.records.forms import shown
from apps.records.link import DistinctSkiBodyDraft, SameSkiBodyDraft
from apps.records.model import RecordModel
from apps.records.moments import PerformedAt
from apps.records.place import SkiTag, SkiTagDraft
from apps.records.primitives import Label, Remarks, ShopHandle, Tag
from apps.records.reading import read_draft
from apps.registry.actors import Actor
from apps.registry.linking import LINK_KINDS

EXAMPLE: dict[str, Any] = {
    "kind": "same-ski",
    "ski": SKI,
    "body": {"other_ski": OTHER_SHOP_SKI, "evidence": ["both_labels", "serial_number"]},
}
RETAG_EXAMPLE: dict[str, Any] = {"tag": "FB-0107", "evidence": ["label_lost"]}
RETAG_FIELDS = ("tag", "performed_at", "evidence", "evidence_text", "remarks")


class LinkRequest(RecordModel):
    """What a shop says of two tags, of which one is its own."""

    model_config = ConfigDict(json_schema_extra={"examples": [EXAMPLE]})

    is_draft: ClassVar[bool] = True

    kind: Literal["same-ski", "distinct-ski"] = Field(
        description="That the two tags are on one ski, or on two."
    )
    author: ShopHandle | None = Field(
        default=None, description="The shop that writes; the one of the key, also when left out."
    )
    ski: SkiTagDraft = Field(description="One of the tags.")
    performed_at: PerformedAt | None = Field(
        default=None, description="When the shop found it out; now when left out."
    )
    body: SameSkiBodyDraft | DistinctSkiBodyDraft = Field(
        description="The other tag, and by what the shop knows."
    )


class RetagRequest(RecordModel):
    """Another tag for a ski whose label is gone."""

    model_config = ConfigDict(json_schema_extra={"examples": [RETAG_EXAMPLE]})

    is_draft: ClassVar[bool] = True

    tag: Tag = Field(description="The new tag of the own shop; lower case is made upper case.")
    performed_at: PerformedAt | None = Field(
        default=None, description="When it was put on; now when left out."
    )
    evidence: tuple[SameSkiEvidence, ...] | None = Field(
        default=None,
        description="By what the shop knows the ski; `label_lost` when left out.",
    )
    evidence_text: Label | None = Field(
        default=None, description="The evidence, when `other` is among it."
    )
    remarks: Remarks | None = Field(
        default=None, description="Remarks, up to 2000 characters; no names."
    )


def read_link(document: object, *, by: Actor) -> Draft:
    """Read a link.

    Raises
    ------
    InvalidRecord
        With all that is wrong at once.
    NotAllowed
        If it names another author.
    """
    given = dict(object_of(document))
    kind = given.pop("kind", None)
    if kind not in LINK_KINDS:
        sentence = f"{shown(kind)} is no kind of link; write one of {', '.join(LINK_KINDS)}."
        raise InvalidRecord(FieldError("/kind", "unknown-kind", sentence))
    whole = {"performed_at": now_text(), **given}
    draft = read_draft(str(kind), whole, node_host=settings.NODE_HOST)
    only_own_name(draft, by)
    return draft


def read_retag(document: object, ski: SkiTag) -> list[Draft]:
    """Read another tag for a ski as the description and the link that it becomes.

    Raises
    ------
    InvalidRecord
        With all that is wrong at once; the pointers are those of the request.
    """
    given = object_of(document)
    faults = list(_unknown(given))
    if faults:
        raise InvalidRecord(*faults)
    performed_at = given.get("performed_at", now_text())
    new = {"shop": ski.shop, "tag": given.get("tag", "")}
    members = {name: given[name] for name in RETAG_FIELDS[2:] if name in given}
    body = {"evidence": ["label_lost"], **members, "other_ski": new}
    old = {"shop": ski.shop, "tag": ski.tag}
    try:
        link = read_draft(
            "same-ski",
            {"ski": old, "performed_at": performed_at, "body": body},
            node_host=settings.NODE_HOST,
        )
    except InvalidRecord as error:
        raise InvalidRecord(*map(_of_request, error.errors)) from error
    whole = {"ski": new, "performed_at": performed_at, "body": {}}
    return [read_draft("description", whole, node_host=settings.NODE_HOST), link]


def _unknown(given: dict[str, Any]) -> Iterator[FieldError]:
    for name in given:
        if name not in RETAG_FIELDS:
            listed = ", ".join(f"`{field}`" for field in RETAG_FIELDS)
            sentence = f"There is no field {shown(name)} here; this call takes {listed}."
            yield FieldError(f"/{name}", "unknown-field", sentence)


def _of_request(fault: FieldError) -> FieldError:
    pointer = fault.pointer.removeprefix("/body").replace("/other_ski", "", 1) or "/tag"
    return FieldError(pointer, fault.code, fault.message)

"""Links: a shop's word that two tags are on one ski, or on two."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, ClassVar, Literal

from pydantic import ConfigDict, Field

from apps.records.examples import draft_example, record_example
from apps.records.exchange_words import DistinctSkiEvidence, SameSkiEvidence
from apps.records.frame import Plain, PlainDraft, ShopDraft, ShopEnvelope
from apps.records.model import Broken, RecordModel
from apps.records.place import SkiTag, SkiTagDraft, own_pair
from apps.records.primitives import Label, Remarks

EVIDENCE = 10


class LinkBody(RecordModel):
    """What links of both kinds say."""

    other_ski: SkiTag = Field(description="The other tag.")
    evidence: tuple[str, ...]
    evidence_text: Label | None = Field(
        default=None, description="The evidence, when `other` is among it."
    )
    remarks: Remarks | None = Field(
        default=None, description="Remarks on the evidence, up to 2000 characters; no names."
    )

    def broken_rules(self) -> Iterator[Broken]:
        """No word of the evidence stands twice."""
        yield from super().broken_rules()
        if len(set(self.evidence)) < len(self.evidence):
            yield Broken("evidence", "said-twice", "A word stands twice here; write it once.")


class SameSkiBody(LinkBody):
    """The other tag that is on the same ski, and by what the shop knows."""

    evidence: Annotated[
        tuple[SameSkiEvidence, ...],
        Field(min_length=1, max_length=EVIDENCE, json_schema_extra={"uniqueItems": True}),
    ] = Field(description="By what the shop knows it; at least one word, none twice.")


class DistinctSkiBody(LinkBody):
    """The other tag that is on another ski, and by what the shop knows."""

    evidence: Annotated[
        tuple[DistinctSkiEvidence, ...],
        Field(min_length=1, max_length=EVIDENCE, json_schema_extra={"uniqueItems": True}),
    ] = Field(description="By what the shop knows it; at least one word, none twice.")


class SameSkiBodyDraft(SameSkiBody):
    """The other tag that is on the same ski, as a request may send it."""

    is_draft: ClassVar[bool] = True

    other_ski: SkiTagDraft = Field(description="The other tag.")


class DistinctSkiBodyDraft(DistinctSkiBody):
    """The other tag that is on another ski, as a request may send it."""

    is_draft: ClassVar[bool] = True

    other_ski: SkiTagDraft = Field(description="The other tag.")


class Link(ShopEnvelope, Plain):
    """What both kinds of links are: two tags and a shop's word."""

    body: LinkBody

    def broken_rules(self) -> Iterator[Broken]:
        """A tag isn't put beside itself."""
        yield from super().broken_rules()
        yield from own_pair(self.ski, self.body)


class LinkDraft(ShopDraft, PlainDraft):
    """What drafts of both kinds of links are."""

    body: LinkBody

    def broken_rules(self) -> Iterator[Broken]:
        """A tag isn't put beside itself."""
        yield from super().broken_rules()
        yield from own_pair(self.ski, self.body)


class SameSkiRecord(Link):
    """One shop's word that two tags are on one ski, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("same-ski"))

    kind: Literal["same-ski"] = Field(description="Kind of the record.")
    body: SameSkiBody = Field(description="What the record says.")


class DistinctSkiRecord(Link):
    """One shop's word that two tags are on two skis, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("distinct-ski"))

    kind: Literal["distinct-ski"] = Field(description="Kind of the record.")
    body: DistinctSkiBody = Field(description="What the record says.")


class SameSkiDraft(LinkDraft):
    """One shop's word that two tags are on one ski, as a client sends it."""

    model_config = ConfigDict(json_schema_extra=draft_example("same-ski"))

    kind: ClassVar[str] = "same-ski"

    body: SameSkiBodyDraft = Field(description="What the record says.")


class DistinctSkiDraft(LinkDraft):
    """One shop's word that two tags are on two skis, as a client sends it."""

    model_config = ConfigDict(json_schema_extra=draft_example("distinct-ski"))

    kind: ClassVar[str] = "distinct-ski"

    body: DistinctSkiBodyDraft = Field(description="What the record says.")

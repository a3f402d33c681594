"""Where on a ski something is, and which ski it is."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, Protocol

from pydantic import Field

from apps.records.model import Broken, RecordModel
from apps.records.primitives import Extent, Position, ShopHandle, Tag
from apps.records.vocabulary import Edge, Station, Surface


class SkiTag(RecordModel):
    """The tag a shop put on a ski: what every record is about."""

    shop: ShopHandle = Field(
        description="Handle of the shop whose tag it is, `code@node-host`.",
        json_schema_extra={"x-source": "RFC 1123 (host name)"},
    )
    tag: Tag = Field(
        description="The tag as on the label: 1 to 40 of A to Z, 0 to 9, full stop, low line, "
        "hyphen; it begins and ends with a letter or a digit. It is read from a wet label, "
        "typed by hand and put in web addresses.",
    )


class SkiTagDraft(SkiTag):
    """A ski's tag in a request: in either case, and for an own shop without the node's host."""

    is_draft: ClassVar[bool] = True


class NamesAnother(Protocol):
    """A body that names the tag of another ski."""

    @property
    def other_ski(self) -> SkiTag:
        """The other tag."""
        ...


def own_pair(ski: SkiTag, body: NamesAnother) -> Iterator[Broken]:
    """Yield the broken rule of a tag that is put beside itself."""
    if (ski.shop, ski.tag) == (body.other_ski.shop, body.other_ski.tag):
        yield Broken("body/other_ski", "own-pair", "Give the tag of the other ski, not this one.")


class Place(RecordModel):
    """A place on the ski; at least one field says where."""

    edge: Edge | None = Field(default=None, description="The edge, seen from above, tip forward.")
    surface: Surface | None = Field(default=None, description="The surface.")
    station: Station | None = Field(default=None, description="The named place along the ski.")
    position_mm: Position | None = Field(
        default=None,
        description="Distance from the tail along the base [mm], 0 to 2600; of a stretch, its "
        "end nearer the tail.",
    )
    length_mm: Extent | None = Field(
        default=None, description="Length of the stretch along the ski [mm], 1 to 2600."
    )

    def broken_rules(self) -> Iterator[Broken]:
        """A place says where in at least one way."""
        yield from super().broken_rules()
        yield from self.needs_one_of("edge", "surface", "station", "position_mm")

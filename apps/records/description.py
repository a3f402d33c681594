"""What a ski is: sizes, build, make and identifiers."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from pydantic import Field

from apps.records.model import Broken, RecordModel
from apps.records.primitives import (
    ChordLength,
    Giai,
    Grai,
    GrooveWidth,
    Label,
    MarkedLength,
    ModelYear,
    Radius,
    Width,
)
from apps.records.vocabulary import BaseColour, BaseMaterial, Construction, Use

WIDTHS = "ISO 7796:1985 (measuring conditions)"


class DescriptionBody(RecordModel):
    """What a ski is; every field may be absent, for what nobody knows."""

    length_mm: MarkedLength | None = Field(
        default=None, description="Length as marked on the ski [mm], 300 to 2600."
    )
    shovel_width_mm: Width | None = Field(
        default=None,
        description="Width at the widest place of the front [mm], 30.0 to 250.0.",
        json_schema_extra={"x-source": WIDTHS},
    )
    waist_width_mm: Width | None = Field(
        default=None,
        description="Width at the narrowest place [mm], 30.0 to 250.0; not above both ends.",
        json_schema_extra={"x-source": WIDTHS},
    )
    tail_width_mm: Width | None = Field(
        default=None,
        description="Width at the widest place of the rear [mm], 30.0 to 250.0.",
        json_schema_extra={"x-source": WIDTHS},
    )
    chord_mm: ChordLength | None = Field(
        default=None,
        description="Straight distance between the widest points of shovel and tail [mm], "
        "200 to 2500.",
    )
    construction: Construction | None = Field(default=None, description="How the ski is built.")
    construction_text: Label | None = Field(
        default=None, description="The construction, when it is `other`."
    )
    base_material: BaseMaterial | None = Field(default=None, description="Material of the base.")
    base_material_text: Label | None = Field(
        default=None, description="The base material, when it is `other`."
    )
    base_colour: BaseColour | None = Field(default=None, description="Colour of the base.")
    base_colour_text: Label | None = Field(
        default=None, description="The colour of the base, when it is `other`."
    )
    centre_groove_width_mm: GrooveWidth | None = Field(
        default=None,
        description="Width of the centre groove [mm], 0.0 to 20.0; about 6 to 10 on older "
        "straight skis, 0.0 for a base without a groove.",
    )
    model_year: ModelYear | None = Field(
        default=None, description="Year of the model, 1930 to 2100."
    )
    model_text: Label | None = Field(default=None, description="The model as printed on the ski.")
    maker_text: Label | None = Field(default=None, description="The maker as printed on the ski.")
    use: Use | None = Field(default=None, description="What the ski is used for.")
    use_text: Label | None = Field(default=None, description="The use, when it is `other`.")
    declared_radius_m: Radius | None = Field(
        default=None, description="Sidecut radius as printed on the ski [m], 3.0 to 80.0."
    )
    giai: Giai | None = Field(
        default=None,
        description="GS1 individual asset identifier, 1 to 30 characters of set 82, as licensed "
        "by the shop; carried, never minted here.",
        json_schema_extra={"x-source": "GS1 General Specifications, AI 8004"},
    )
    grai: Grai | None = Field(
        default=None,
        description="GS1 returnable asset identifier: 14 digits and up to 16 characters of set "
        "82; carried, never minted here.",
        json_schema_extra={"x-source": "GS1 General Specifications, AI 8003"},
    )
    serial_text: Label | None = Field(
        default=None, description="The serial number as printed on the ski."
    )

    def broken_rules(self) -> Iterator[Broken]:
        """The waist is not wider than both ends."""
        yield from super().broken_rules()
        shovel, waist, tail = self.shovel_width_mm, self.waist_width_mm, self.tail_width_mm
        if shovel and waist and tail and waist > max(shovel, tail):
            yield Broken(
                "waist_width_mm",
                "waist-wider-than-ends",
                f"The waist of {waist} mm is wider than the ends of {shovel} mm and {tail} mm; "
                "check the order of the three widths.",
            )


class DescriptionBodyDraft(DescriptionBody):
    """What a ski is, as a request may send it: decimals as numbers or strings."""

    is_draft: ClassVar[bool] = True

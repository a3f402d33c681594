"""One measured quantity: a value, a profile or a trace, or why there is none."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from decimal import Decimal
from typing import Annotated, Any, ClassVar

from pydantic import Discriminator, Field, Tag

from apps.records.model import Broken, RecordModel
from apps.records.primitives import (
    Gap,
    Label,
    Position,
    ProfileX,
    TraceHeight,
    TraceSpacing,
    Width,
)
from apps.records.quantities import QUANTITIES, Quantity, Shape
from apps.records.readings import READING, UNCERTAINTY
from apps.records.vocabulary import Edge, Moment, NotMeasured, Station, Surface


class GapPoint(RecordModel):
    """One gap of light under a true bar laid across the base."""

    x_mm: ProfileX = Field(
        description="Distance from the left edge [mm], seen from above, tip forward; 0.0 to 250.0."
    )
    gap_um: Gap = Field(description="Gap between bar and base [um], 0 to 5000.")


class GapPointDraft(GapPoint):
    """One gap under a true bar, as a request may send it."""

    is_draft: ClassVar[bool] = True


class WidthPoint(RecordModel):
    """One width along the ski."""

    position_mm: Position = Field(
        description="Distance from the tail along the base [mm], 0 to 2600."
    )
    width_mm: Width = Field(description="Width of the ski there [mm], 30.0 to 250.0.")


class WidthPointDraft(WidthPoint):
    """One width along the ski, as a request may send it."""

    is_draft: ClassVar[bool] = True


class TextureTrace(RecordModel):
    """Heights at equal distances along a line over the base texture."""

    spacing_um: TraceSpacing = Field(
        description="Distance between two heights [um], 0.1 to 1000.0."
    )
    heights_um: tuple[TraceHeight, ...] = Field(
        min_length=2,
        max_length=2000,
        description="Heights in order [um], each -500.00 to 500.00; 2 to 2000 of them.",
    )


class TextureTraceDraft(TextureTrace):
    """A texture trace, as a request may send it."""

    is_draft: ClassVar[bool] = True


GAP_POINT, WIDTH_POINT = "point:gap", "point:width"


def _point_tag(point: Any) -> str:
    # Pydantic asks with the sent object when it reads, and with the model when it writes.
    names = set(point) if isinstance(point, dict) else set(getattr(point, "model_fields_set", ()))
    return WIDTH_POINT if names & set(WidthPoint.model_fields) else GAP_POINT


ProfilePoint = Annotated[
    Annotated[GapPoint, Tag(GAP_POINT)] | Annotated[WidthPoint, Tag(WIDTH_POINT)],
    Discriminator(_point_tag),
]
ProfilePointDraft = Annotated[
    Annotated[GapPointDraft, Tag(GAP_POINT)] | Annotated[WidthPointDraft, Tag(WIDTH_POINT)],
    Discriminator(_point_tag),
]


class MeasurementBody(RecordModel):
    """One quantity measured at one place; exactly one of value, profile, trace, not_measured."""

    quantity: Quantity = Field(description="What was measured; it fixes the unit.")
    quantity_text: Label | None = Field(
        default=None, description="The quantity, when it is `other`."
    )
    unit_text: Label | None = Field(
        default=None, description="The unit of the value, when the quantity is `other`."
    )
    value: Annotated[Decimal, READING] | None = Field(
        default=None, description="The reading, with unit, step and range of the quantity."
    )
    profile: tuple[ProfilePoint, ...] | None = Field(
        default=None,
        min_length=2,
        max_length=400,
        description="The points of a profile, 2 to 400, in strictly increasing order.",
    )
    trace: TextureTrace | None = Field(default=None, description="The heights of a texture trace.")
    not_measured: NotMeasured | None = Field(
        default=None, description="Why there is no reading, when there is none."
    )
    not_measured_text: Label | None = Field(
        default=None, description="The reason, when `not_measured` is `other`."
    )
    edge: Edge | None = Field(
        default=None,
        description="The edge, seen from above, tip forward; needed for edge height and width.",
    )
    surface: Surface | None = Field(default=None, description="The surface measured.")
    station: Station | None = Field(default=None, description="The named place along the ski.")
    position_mm: Position | None = Field(
        default=None, description="Distance from the tail along the base [mm], 0 to 2600."
    )
    uncertainty: Annotated[Decimal, UNCERTAINTY] | None = Field(
        default=None,
        description="Expanded uncertainty of one value (k = 2), with unit and step of the "
        "quantity, not below zero.",
        json_schema_extra={"x-source": "JCGM 100:2008 (GUM)"},
    )
    instrument: Label | None = Field(default=None, description="The gauge it was read with.")
    standard: Label | None = Field(
        default=None, description="The standard and edition that the reading follows."
    )
    moment: Moment | None = Field(
        default=None,
        description="Before or after the work of the visit; absent for a reading on its own.",
    )

    def broken_rules(self) -> Iterator[Broken]:
        """The reading fits its quantity, and an edge quantity says which edge."""
        yield from super().broken_rules()
        yield from self._one_reading()
        yield from self._edge_given()
        yield from self._unit_text()
        yield from self._profile_in_order()

    def _one_reading(self) -> Iterator[Broken]:
        wanted = QUANTITIES[self.quantity].shape
        for shape in Shape:
            if shape is not wanted and getattr(self, shape) is not None:
                sentence = f"`{self.quantity}` is given as `{wanted}`, not as `{shape}`."
                yield Broken(shape, "wrong-shape", sentence)
        has_reading = getattr(self, wanted) is not None
        if has_reading and self.not_measured is not None:
            sentence = "There is a reading, so leave out why there is none."
            yield Broken("not_measured", "measured-and-not", sentence)
        if not has_reading and self.not_measured is None:
            sentence = f"Give `{wanted}`, or say in `not_measured` why there is none."
            yield Broken(wanted, "no-reading", sentence)

    def _edge_given(self) -> Iterator[Broken]:
        if QUANTITIES[self.quantity].needs_edge and self.edge is None:
            sentence = f"`{self.quantity}` is read edge by edge: say `left` or `right`."
            yield Broken("edge", "edge-needed", sentence)

    def _unit_text(self) -> Iterator[Broken]:
        is_other = self.quantity is Quantity.OTHER
        why = f"The unit of `{self.quantity}` is fixed"
        yield from self.only_with(("unit_text",), why, fits=is_other)
        if is_other and self.value is not None and self.unit_text is None:
            yield Broken("unit_text", "unit-needed", "Say here in which unit the value is.")

    def _profile_in_order(self) -> Iterator[Broken]:
        if not self.profile or QUANTITIES[self.quantity].shape is not Shape.PROFILE:
            return
        wanted = GapPoint if self.quantity is Quantity.BASE_GAP_PROFILE else WidthPoint
        if not all(isinstance(point, wanted) for point in self.profile):
            names = ", ".join(f"`{name}`" for name in wanted.model_fields)
            sentence = f"Each point of `{self.quantity}` has {names}."
            yield Broken("profile", "wrong-points", sentence)
            return
        places = [p.x_mm if isinstance(p, GapPoint) else p.position_mm for p in self.profile]
        if any(later <= earlier for earlier, later in itertools.pairwise(places)):
            sentence = "Sort the points by their place, and give each place once."
            yield Broken("profile", "points-not-in-order", sentence)


class MeasurementBodyDraft(MeasurementBody):
    """One measured quantity, as a request may send it: decimals as numbers or strings."""

    is_draft: ClassVar[bool] = True

    profile: tuple[ProfilePointDraft, ...] | None = Field(
        default=None,
        min_length=2,
        max_length=400,
        description="The points of a profile, 2 to 400, in strictly increasing order.",
    )
    trace: TextureTraceDraft | None = Field(
        default=None, description="The heights of a texture trace."
    )

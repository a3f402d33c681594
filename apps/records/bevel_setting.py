"""The bevels of an edge: set with a guide, read with a gauge, or stated by the maker."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Any, ClassVar

from pydantic import Field, ModelWrapValidatorHandler, model_validator

from apps.records.model import Broken, RecordModel
from apps.records.primitives import (
    BaseBevel,
    BevelUncertainty,
    FacetWidth,
    Label,
    Position,
    SideAngle,
    SideBevel,
)
from apps.records.vocabulary import Basis, Edges, Moment

RIGHT_ANGLE_DEG = Decimal(90)


class BevelSettingBody(RecordModel):
    """The bevels of one edge or of both, over the whole ski or a stretch of it."""

    bevel_fields: ClassVar[tuple[str, ...]] = ("base_bevel_deg", "side_bevel_deg")

    edge: Edges = Field(description="The edge, or both, seen from above, tip forward.")
    base_bevel_deg: BaseBevel | None = Field(
        default=None,
        description="Base bevel: base-side facet away from the base plane [deg], 0.00 to 5.00.",
    )
    side_bevel_deg: SideBevel | None = Field(
        default=None,
        description="Side bevel: side face undercut from square [deg], 0.00 to 10.00.",
    )
    facet_width_mm: FacetWidth | None = Field(
        default=None,
        description="Width of the base-side facet [mm], 0.00 to 30.00; it may run into the base.",
    )
    station_from_mm: Position | None = Field(
        default=None,
        description="Where the stretch begins, distance from the tail [mm], 0 to 2600; absent "
        "for the whole edge.",
    )
    station_to_mm: Position | None = Field(
        default=None,
        description="Where the stretch ends, distance from the tail [mm], 0 to 2600.",
    )
    basis: Basis = Field(description="Where the bevel comes from.")
    moment: Moment | None = Field(
        default=None, description="Before or after the work; for measured bevels only."
    )
    uncertainty_deg: BevelUncertainty | None = Field(
        default=None,
        description="Expanded uncertainty of the bevels (k = 2) [deg], 0.00 to 10.00.",
        json_schema_extra={"x-source": "JCGM 100:2008 (GUM)"},
    )
    instrument: Label | None = Field(
        default=None, description="The guide it was set with, or the gauge it was read with."
    )

    def broken_rules(self) -> Iterator[Broken]:
        """At least one bevel; a whole stretch; a moment for measured bevels only."""
        yield from super().broken_rules()
        yield from self.needs_one_of(*self.bevel_fields)
        yield from self._stretch()
        is_measured = self.basis is Basis.MEASURED
        yield from self.only_with(
            ("moment",), "Only a measured bevel has a moment", fits=is_measured
        )

    def _stretch(self) -> Iterator[Broken]:
        start, end = self.station_from_mm, self.station_to_mm
        if (start is None) != (end is None):
            missing = "station_from_mm" if start is None else "station_to_mm"
            yield Broken(missing, "half-a-stretch", "Give both ends of the stretch, or neither.")
        if start is not None and end is not None and start >= end:
            sentence = "The stretch begins nearer the tail: `station_from_mm` is the smaller one."
            yield Broken("station_from_mm", "stretch-reversed", sentence)


def sides_disagree(bevel_deg: Decimal | None, angle_deg: Decimal | None) -> Iterator[Broken]:
    """Yield a broken rule where a side is given as bevel and as angle, and they differ."""
    if bevel_deg is None or angle_deg is None or bevel_deg + angle_deg == RIGHT_ANGLE_DEG:
        return
    yield Broken(
        "side_angle_deg",
        "bevel-and-angle-disagree",
        f"An angle of {angle_deg} is a bevel of {RIGHT_ANGLE_DEG - angle_deg}, but "
        f"`side_bevel_deg` says {bevel_deg}; send one of the two.",
    )


class BevelSettingBodyDraft(BevelSettingBody):
    """Bevels as a request may send them: the side as a bevel or as an angle, `basis` set if absent.

    The angle is stored as bevel, 90 - angle, so that it is absent once the draft is read.
    """

    is_draft: ClassVar[bool] = True
    bevel_fields: ClassVar[tuple[str, ...]] = (
        "base_bevel_deg",
        "side_bevel_deg",
        "side_angle_deg",
    )

    basis: Basis = Field(default=Basis.SET, description="Where the bevel comes from.")
    side_angle_deg: SideAngle | None = Field(
        default=None,
        description="The side edge as an angle [deg], 80.00 to 90.00: 88 is a bevel of 2. In "
        "requests only; the record holds the bevel.",
    )

    def broken_rules(self) -> Iterator[Broken]:
        """Bevel and angle of the side say the same when both are given."""
        yield from super().broken_rules()
        yield from sides_disagree(self.side_bevel_deg, self.side_angle_deg)

    @model_validator(mode="wrap")
    @classmethod
    def _angle_to_bevel(
        cls, data: Any, handler: ModelWrapValidatorHandler[BevelSettingBodyDraft]
    ) -> BevelSettingBodyDraft:
        draft = handler(data)
        if draft.side_angle_deg is None or not isinstance(data, dict):
            return draft
        rest = {name: value for name, value in data.items() if name != "side_angle_deg"}
        return handler({**rest, "side_bevel_deg": RIGHT_ANGLE_DEG - draft.side_angle_deg})

"""What a client asks when it asks for a plan, and how that becomes the arithmetic's request."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any, ClassVar, Literal

from pydantic import ConfigDict, Field, StrictBool, ValidationError

from apps.api.problem_types import INVALID_FIELDS, UNKNOWN_REFERENCE
from apps.api.problems import Mistake, Problem, of_faults
from apps.records.bench_words import Operation
from apps.records.bevel_setting import sides_disagree
from apps.records.errors import FieldError, InvalidRecord
from apps.records.finding import FindingReference
from apps.records.forms import Mode
from apps.records.model import Broken, RecordModel
from apps.records.primitives import (
    BaseBevel,
    BevelUncertainty,
    FacetWidth,
    FlatnessTolerance,
    IronTemperature,
    SideAngle,
    SideBevel,
)
from apps.records.problems import field_errors
from apps.records.strict_json import nulls
from apps.registry.practices import AmountMm, LeastMm, RemovalSetting
from apps.tuning import plan_request as tuning
from apps.tuning.errors import TuningError
from apps.tuning.history import FindingKey

RIGHT_ANGLE_DEG = Decimal(90)


class PlanModel(RecordModel):
    """Base of the parts of a plan request; decimals may come as numbers or strings."""

    is_draft: ClassVar[bool] = True


class TargetBevels(PlanModel):
    """Bevels wanted on an edge; what is left out stays as it is."""

    base_bevel_deg: BaseBevel | None = Field(
        default=None, description="Base bevel wanted [deg], 0.00 to 5.00."
    )
    side_bevel_deg: SideBevel | None = Field(
        default=None, description="Side bevel wanted, from square [deg], 0.00 to 10.00."
    )
    side_angle_deg: SideAngle | None = Field(
        default=None, description="The same as an angle [deg], 80.00 to 90.00: 88 is a bevel of 2."
    )

    def broken_rules(self) -> Iterator[Broken]:
        """Bevel and angle say the same when both are given."""
        yield from super().broken_rules()
        yield from sides_disagree(self.side_bevel_deg, self.side_angle_deg)

    def asked(self) -> tuning.EdgeTarget:
        """Give it to the arithmetic."""
        side = self.side_bevel_deg
        if side is None and self.side_angle_deg is not None:
            side = RIGHT_ANGLE_DEG - self.side_angle_deg
        return tuning.EdgeTarget(_plain(self.base_bevel_deg), _plain(side))


class PlanTargets(PlanModel):
    """Bevels wanted: the same on both edges, or edge by edge."""

    both: TargetBevels | None = Field(default=None, description="Wanted on both edges.")
    left: TargetBevels | None = Field(
        default=None, description="Wanted on the left edge, seen from above, tip forward."
    )
    right: TargetBevels | None = Field(
        default=None, description="Wanted on the right edge, seen from above, tip forward."
    )

    def broken_rules(self) -> Iterator[Broken]:
        """Both edges at once, or each by itself."""
        yield from super().broken_rules()
        if self.both is not None and (self.left is not None or self.right is not None):
            sentence = "Give `both`, or `left` and `right`, but not all of them."
            yield Broken("both", "both-and-each", sentence)

    def asked(self) -> tuning.Targets:
        """Give them to the arithmetic."""
        left, right = self.both or self.left, self.both or self.right
        return tuning.Targets(
            left.asked() if left else tuning.NO_TARGET,
            right.asked() if right else tuning.NO_TARGET,
        )


class AssumedReadings(PlanModel):
    """What the bench measured on an edge just now; what is left out is taken from the history."""

    base_bevel_deg: BaseBevel | None = Field(default=None, description="Base bevel read [deg].")
    side_bevel_deg: SideBevel | None = Field(
        default=None, description="Side bevel read, from square [deg]."
    )
    facet_width_mm: FacetWidth | None = Field(
        default=None, description="Width of the base-side facet [mm]."
    )
    edge_height_mm: LeastMm | None = Field(default=None, description="Edge height [mm].")
    edge_width_mm: LeastMm | None = Field(default=None, description="Edge width [mm].")

    def asked(self) -> tuning.AssumedEdge:
        """Give them to the arithmetic."""
        return tuning.AssumedEdge(**_floats(self))


class PlanAssumed(PlanModel):
    """What the bench measured just now, or wants reckoned with instead of the history."""

    left: AssumedReadings | None = Field(default=None, description="Readings of the left edge.")
    right: AssumedReadings | None = Field(default=None, description="Readings of the right edge.")
    concavity_mm: FlatnessTolerance | None = Field(
        default=None, description="Light in the middle under a true bar [mm]; 0 is a flat base."
    )
    convexity_mm: FlatnessTolerance | None = Field(
        default=None, description="Light at the sides under a true bar [mm]; 0 is a flat base."
    )
    base_thickness_mm: LeastMm | None = Field(default=None, description="Base left [mm].")
    uncertainty_mm: AmountMm | None = Field(
        default=None, description="Expanded uncertainty (k = 2) of the lengths above [mm]."
    )
    uncertainty_deg: BevelUncertainty | None = Field(
        default=None, description="Expanded uncertainty (k = 2) of the bevels above [deg]."
    )
    removals: dict[Operation, RemovalSetting] | None = Field(
        default=None, description="What single operations take off here, instead of the usual."
    )

    def asked(self) -> tuning.Assumed:
        """Give it to the arithmetic."""
        removals = {str(name): one.removal() for name, one in (self.removals or {}).items()}
        return tuning.Assumed(
            left=self.left.asked() if self.left else tuning.NOTHING_ASSUMED,
            right=self.right.asked() if self.right else tuning.NOTHING_ASSUMED,
            removals=removals,
            **_floats(self),
        )


EXAMPLE: dict[str, Any] = {
    "targets": {"both": {"base_bevel_deg": "0.50", "side_bevel_deg": "2.00"}},
    "flatness_tolerance_mm": "0.100",
    "wax": True,
}


class PlanRequest(PlanModel):
    """The tune asked for; an empty request asks for no work."""

    model_config = ConfigDict(json_schema_extra={"examples": [EXAMPLE]})

    targets: PlanTargets | None = Field(default=None, description="Bevels wanted.")
    flatness_tolerance_mm: FlatnessTolerance | None = Field(
        default=None,
        description="Flatten the base to this straightness [mm]; left out, it stays as it is.",
    )
    spot_flatten: StrictBool = Field(
        default=False, description="Flatten only the stretch that is worst, by hand."
    )
    structure: StrictBool = Field(default=False, description="Cut a ground pattern.")
    repair: tuple[FindingReference, ...] = Field(
        default=(), max_length=60, description="Open findings to mend."
    )
    grind_out: tuple[FindingReference, ...] = Field(
        default=(), max_length=60, description="Gouges or scratches to grind out instead."
    )
    wax: StrictBool = Field(default=False, description="Wax at the end.")
    iron_temperature_c: IronTemperature | None = Field(
        default=None, description="Temperature of the iron [°C], 60 to 220."
    )
    plane_operation: Literal["stone_grind", "belt_grind", "file_flat"] = Field(
        default="stone_grind", description="What the ground plane is made with."
    )
    assumed: PlanAssumed | None = Field(
        default=None, description="What the bench measured just now."
    )

    def asked(self) -> tuning.TuneRequest:
        """Give it to the arithmetic."""
        return tuning.TuneRequest(
            targets=self.targets.asked() if self.targets else tuning.Targets(),
            flatness_tolerance_mm=_plain(self.flatness_tolerance_mm),
            spot_flatten=self.spot_flatten,
            structure=self.structure,
            repair=_keys(self.repair),
            grind_out=_keys(self.grind_out),
            wax=self.wax,
            iron_temperature_c=self.iron_temperature_c,
            plane_operation=self.plane_operation,
            assumed=self.assumed.asked() if self.assumed else tuning.Assumed(),
        )


def _plain(value: Decimal | None) -> float | None:
    return None if value is None else float(value)


def _floats(model: PlanModel) -> dict[str, float]:
    """The decimals a model has been given, as the arithmetic takes them."""
    given = {name: getattr(model, name) for name in type(model).model_fields}
    return {name: float(value) for name, value in given.items() if isinstance(value, Decimal)}


def _keys(references: tuple[FindingReference, ...]) -> tuple[FindingKey, ...]:
    return tuple(FindingKey(one.record, one.index) for one in references)


def read_plan_request(document: object) -> PlanRequest:
    """Read the body of a request for a plan.

    Raises
    ------
    InvalidRecord
        With all that is wrong at once.
    """
    if not isinstance(document, Mapping):
        sentence = "Write an object in braces here."
        raise InvalidRecord(FieldError("", "not-an-object", sentence))
    errors = tuple(nulls(dict(document)))
    if errors:
        raise InvalidRecord(*errors)
    try:
        return PlanRequest.model_validate(dict(document), context=Mode(draft=True).context())
    except ValidationError as error:
        raise InvalidRecord(*field_errors(error, PlanRequest)) from error


def refused_by_arithmetic(error: TuningError) -> Problem:
    """Word what the arithmetic refuses of a plan request; the field becomes a JSON Pointer."""
    pointer = "/" + re.sub(r"[.\[]", "/", error.field).replace("]", "")
    if isinstance(error, tuning.UnknownFindingError):
        mistake = Mistake("unknown-finding", str(error), pointer=pointer)
        return Problem(UNKNOWN_REFERENCE, str(error), mistakes=[mistake])
    return of_faults(INVALID_FIELDS, [FieldError(pointer, "impossible", str(error))])

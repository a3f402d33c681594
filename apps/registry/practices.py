"""A shop's own practice: the settings it may make, checked with all their faults at once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Annotated, Any, ClassVar

from pydantic import BeforeValidator, Field, StrictInt, ValidationError

from apps.records.bench_words import Operation
from apps.records.canonical import canonical_bytes
from apps.records.decimals import FixedStep
from apps.records.errors import FieldError
from apps.records.forms import Mode, fault, shown
from apps.records.model import Broken, RecordModel
from apps.records.problems import field_errors
from apps.records.reading import document_of
from apps.records.strict_json import loads_strict
from apps.records.vocabulary import Severity
from apps.registry.errors import InvalidSetting, RegistryError, refusal_of
from apps.registry.models import Shop
from apps.tuning.errors import OutOfRangeError
from apps.tuning.practice import NOTHING, Amount, Practice, Removal
from apps.tuning.season import season_calendar

AmountMm = Annotated[Decimal, FixedStep("0.001", "0.000", "2.000", "mm")]
LeastMm = Annotated[Decimal, FixedStep("0.001", "0.000", "5.000", "mm")]
SpreadMm = Annotated[Decimal, FixedStep("0.001", "0.001", "1.000", "mm")]
SpreadDeg = Annotated[Decimal, FixedStep("0.01", "0.01", "5.00", "deg")]
FacetMm = Annotated[Decimal, FixedStep("0.01", "0.10", "30.00", "mm")]
Share = Annotated[Decimal, FixedStep("0.01", "0.00", "0.95", "1")]
BaseBevelDeg = Annotated[Decimal, FixedStep("0.01", "0.00", "5.00", "deg")]
SideBevelDeg = Annotated[Decimal, FixedStep("0.01", "0.00", "10.00", "deg")]
SpreadM = Annotated[Decimal, FixedStep("0.1", "0.1", "20.0", "m")]
SpreadLengthMm = Annotated[Decimal, FixedStep("0.1", "0.1", "100.0", "mm")]
Interval = Annotated[StrictInt, Field(ge=1, le=10_000)]
MendDays = Annotated[StrictInt, Field(ge=1, le=365)]


def _day_of_year(value: object) -> object:
    """Read a day that every year has; a season that ends on a leap day ends on none in others."""
    try:
        season_calendar(str(value), str(value))
    except OutOfRangeError:
        raise fault("not-a-day", f"{shown(value)} is no day of every year; write MM-DD.") from None
    return value


DayOfYear = Annotated[str, BeforeValidator(_day_of_year)]


class AmountSetting(RecordModel):
    """What one run takes off [mm]: usually, and between which limits."""

    is_draft: ClassVar[bool] = True

    low_mm: AmountMm = Field(description="Least it takes [mm].")
    usual_mm: AmountMm = Field(description="What it usually takes [mm].")
    high_mm: AmountMm = Field(description="Most it takes [mm].")

    def broken_rules(self) -> Iterator[Broken]:
        """The usual amount lies between its limits."""
        yield from super().broken_rules()
        if not self.low_mm <= self.usual_mm <= self.high_mm:
            sentence = "The usual amount lies between low and high; put the three in order."
            yield Broken("usual_mm", "amounts-not-in-order", sentence)

    def amount(self) -> Amount:
        """Give it to the arithmetic."""
        return Amount(float(self.low_mm), float(self.usual_mm), float(self.high_mm))


class RemovalSetting(RecordModel):
    """What one run of an operation takes off; what is left out it leaves alone."""

    is_draft: ClassVar[bool] = True

    edge_height: AmountSetting | None = Field(default=None, description="Off the edge height.")
    edge_width: AmountSetting | None = Field(default=None, description="Off the edge width.")
    base_thickness: AmountSetting | None = Field(default=None, description="Off the base.")

    def removal(self) -> Removal:
        """Give it to the arithmetic."""
        parts = (self.edge_height, self.edge_width, self.base_thickness)
        return Removal(*(part.amount() if part else NOTHING for part in parts))


class PracticeSettings(RecordModel):
    """What a shop sets otherwise than the default; everything may be left out."""

    is_draft: ClassVar[bool] = True

    least_edge_height_mm: LeastMm | None = Field(
        default=None, description="Edge height below which the shop works no ski further [mm]."
    )
    least_edge_width_mm: LeastMm | None = Field(
        default=None, description="Edge width below which the shop works no ski further [mm]."
    )
    least_base_thickness_mm: LeastMm | None = Field(
        default=None, description="Base below which the shop works no ski further [mm]."
    )
    reading_uncertainty_mm: SpreadMm | None = Field(
        default=None, description="Uncertainty (k = 2) of a reading that states none [mm]."
    )
    bevel_uncertainty_deg: SpreadDeg | None = Field(
        default=None, description="Uncertainty (k = 2) of a bevel that states none [deg]."
    )
    facet_width_mm: FacetMm | None = Field(
        default=None, description="Facet assumed where nobody measured it [mm]."
    )
    facet_width_uncertainty_mm: FacetMm | None = Field(
        default=None, description="How far the assumed facet may be off (k = 2) [mm]."
    )
    profile_uncertainty_mm: SpreadMm | None = Field(
        default=None, description="How far one gap under a true bar may be off (k = 2) [mm]."
    )
    gauge_shared_share: Share | None = Field(
        default=None,
        description="Share of a reading's variance that all readings of its gauge have in common.",
    )
    flatness_tolerance_mm: LeastMm | None = Field(
        default=None, description="Gap under the true bar that still counts as flat [mm]."
    )
    bevel_tolerance_deg: SpreadDeg | None = Field(
        default=None, description="How far a finished bevel may lie beside its target [deg]."
    )
    usual_base_bevel_deg: BaseBevelDeg | None = Field(
        default=None, description="Base bevel that the shop usually sets [deg]."
    )
    usual_side_bevel_deg: SideBevelDeg | None = Field(
        default=None, description="Side bevel that the shop usually sets [deg]."
    )
    radius_uncertainty_m: SpreadM | None = Field(
        default=None, description="How far a turn radius out of widths may be off (k = 2) [m]."
    )
    pair_bevel_deg: SpreadDeg | None = Field(
        default=None, description="How far a bevel may differ within a pair [deg]."
    )
    pair_steel_mm: SpreadMm | None = Field(
        default=None, description="How far edge height or width may differ within a pair [mm]."
    )
    pair_base_mm: SpreadMm | None = Field(
        default=None, description="How far the base may differ within a pair [mm]."
    )
    pair_radius_m: SpreadM | None = Field(
        default=None, description="How far the turn radius may differ within a pair [m]."
    )
    pair_length_mm: SpreadLengthMm | None = Field(
        default=None, description="How far the length may differ within a pair [mm]."
    )
    pair_days: Annotated[StrictInt, Field(ge=0, le=1000)] | None = Field(
        default=None, description="How far the days out may differ within a pair [d]."
    )
    long_gap_days: Annotated[StrictInt, Field(ge=1, le=10_000)] | None = Field(
        default=None, description="Days without a record after which the history has a gap [d]."
    )
    due_after_days_out: Interval | None = Field(
        default=None, description="Days out after the last job at which a ski is due [d]."
    )
    due_after_calendar_days: Interval | None = Field(
        default=None, description="Days after the last job at which a ski is due [d]."
    )
    due_for_finding: Severity | None = Field(
        default=None, description="An open finding as bad as this or worse makes a ski due."
    )
    mend_severe_days: MendDays | None = Field(
        default=None, description="Days in which the shop mends a severe finding [d]."
    )
    mend_moderate_days: MendDays | None = Field(
        default=None, description="Days in which the shop mends a moderate finding [d]."
    )
    mend_slight_days: MendDays | None = Field(
        default=None, description="Days in which the shop mends a slight finding [d]."
    )
    season_first: DayOfYear | None = Field(
        default=None, description="First day of the season, MM-DD."
    )
    season_last: DayOfYear | None = Field(
        default=None, description="Last day of the season, MM-DD; before the first: next year's."
    )
    service_operations: Annotated[tuple[Operation, ...], Field(max_length=20)] | None = Field(
        default=None, description="What the shop calls one usual service, in order."
    )
    removals: dict[Operation, RemovalSetting] | None = Field(
        default=None, description="What single operations take off, by operation."
    )

    def practice(self) -> Practice:
        """Give the whole practice: the default with these settings in place."""
        changed = {str(name): one.removal() for name, one in (self.removals or {}).items()}
        given = {name: getattr(self, name) for name in type(self).model_fields}
        members = {name: _plain(value) for name, value in given.items() if value is not None}
        members.pop("removals", None)
        return replace(Practice(), **members).with_removals(changed)


def _plain(value: Any) -> Any:
    if isinstance(value, Decimal):
        return float(value)
    return tuple(str(word) for word in value) if isinstance(value, tuple) else value


def read_settings(settings: Mapping[str, Any]) -> PracticeSettings:
    """Read the settings of a shop.

    Raises
    ------
    InvalidSetting
        If one is wrong; the pointer names the field.
    Refused
        If several are wrong, with an `InvalidSetting` for each.
    """
    try:
        return PracticeSettings.model_validate(dict(settings), context=Mode(draft=True).context())
    except ValidationError as error:
        faults = field_errors(error, PracticeSettings)
        raise refusal_of([_invalid(fault) for fault in faults]) from None


def _invalid(fault: FieldError) -> RegistryError:
    name = fault.pointer.lstrip("/") or "the settings"
    return InvalidSetting(f"{name}: {fault.message}", pointer=fault.pointer)


def settings_text(settings: PracticeSettings) -> str:
    """Write settings as the canonical JSON that is kept."""
    return canonical_bytes(document_of(settings)).decode()


def practice_from(text: str) -> Practice:
    """Read the practice back from the text that is kept."""
    return read_settings(loads_strict(text.encode(), allow_fractions=True)).practice()


def practices_of(handles: Iterable[str]) -> Mapping[str, Practice]:
    """Read the practice of each shop by its handle; another node's shops have the default."""
    wanted = set(handles)
    shops = Shop._default_manager.filter(handle__in=wanted).values_list("handle", "practice")
    kept = {handle: practice_from(text) for handle, text in shops}
    return {handle: kept.get(handle) or Practice() for handle in wanted}


def practice_of(handle: str) -> Practice:
    """Read the practice of one shop."""
    return practices_of([handle])[handle]

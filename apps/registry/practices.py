"""A shop's own practice: the settings it may make, checked with all their faults at once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Annotated, Any, ClassVar

from pydantic import Field, StrictInt, ValidationError

from apps.records.bench_words import Operation
from apps.records.canonical import canonical_bytes
from apps.records.decimals import FixedStep
from apps.records.errors import FieldError
from apps.records.forms import Mode
from apps.records.model import Broken, RecordModel
from apps.records.problems import field_errors
from apps.records.reading import document_of
from apps.records.strict_json import loads_strict
from apps.registry.errors import InvalidSetting, RegistryError, refusal_of
from apps.registry.models import Shop
from apps.tuning.practice import NOTHING, Amount, Practice, Removal

AmountMm = Annotated[Decimal, FixedStep("0.001", "0.000", "2.000", "mm")]
LeastMm = Annotated[Decimal, FixedStep("0.001", "0.000", "5.000", "mm")]
SpreadMm = Annotated[Decimal, FixedStep("0.001", "0.001", "1.000", "mm")]
SpreadDeg = Annotated[Decimal, FixedStep("0.01", "0.01", "5.00", "deg")]
FacetMm = Annotated[Decimal, FixedStep("0.01", "0.10", "30.00", "mm")]


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
    flatness_tolerance_mm: LeastMm | None = Field(
        default=None, description="Gap under the true bar that still counts as flat [mm]."
    )
    long_gap_days: Annotated[StrictInt, Field(ge=1, le=10_000)] | None = Field(
        default=None, description="Days without a record after which the history has a gap [d]."
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

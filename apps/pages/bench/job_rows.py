"""The rows of a job's form: what was found, done, measured and set."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, cast

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from apps.pages.bench.fields import (
    BevelField,
    LengthField,
    MillimetreField,
    SideField,
    fixed_step,
    limits,
    text_field,
    whole_field,
    word_field,
)
from apps.pages.bench.measured import GapsField, ReadingField
from apps.pages.bench.row_form import BOTH, RowForm, place_fields
from apps.records.bevel_setting import BevelSettingBody
from apps.records.finding import Finding
from apps.records.step import Step

CHOOSE = gettext_lazy("choose")


class FindingRow(RowForm):
    """What was found."""

    named = gettext_lazy("Finding %(number)s")
    beside = frozenset({"on", "severity", "state"})
    first = ("what", "severity", "state", "edge", "surface", "station")
    fold = gettext_lazy("Exact place, size, remark")
    groups = (
        (
            "",
            ("what_text", "position_mm", "length_mm", "depth_mm", "width_mm", "remarks"),
        ),
    )

    what = word_field("finding", gettext_lazy("Found"), blank=CHOOSE)
    what_text = text_field(gettext_lazy("What, if other"))
    severity = word_field("severity", gettext_lazy("How bad"), blank=None, initial="moderate")
    state = word_field("finding_state", gettext_lazy("When it leaves"), blank=None, initial="open")
    edge = word_field("edge", gettext_lazy("Edge"), without=(BOTH,))
    depth_mm = LengthField(fixed_step(Finding, "depth_mm"), label=gettext_lazy("Greatest depth"))
    width_mm = MillimetreField(
        fixed_step(Finding, "width_mm"), label=gettext_lazy("Greatest width in mm")
    )
    remarks = text_field(gettext_lazy("Remark on it; no names"))

    def __init__(self, data: Mapping[str, Any] | None = None, **kwargs: Any) -> None:
        super().__init__(data, **kwargs)
        self.fields.update(place_fields())


class StepRow(RowForm):
    """What was done, in one step."""

    named = gettext_lazy("Step %(number)s")
    first = ("operation", "edge", "tool_text", "grit_text")
    fold = gettext_lazy("Amounts, wax, repair, place, binding")
    groups = (
        (
            gettext_lazy("Passes, and what it took off"),
            (
                "operation_text",
                "passes",
                "base_removed_mm",
                "edge_height_removed_mm",
                "edge_width_removed_mm",
            ),
        ),
        (
            gettext_lazy("Wax and iron"),
            ("wax_class", "wax_class_text", "iron_temperature_c"),
        ),
        (
            gettext_lazy("Base repair"),
            (
                "repair_method",
                "repair_method_text",
                "repair_colour",
                "repair_colour_text",
                "groove_width_mm",
            ),
        ),
        (
            gettext_lazy("Only at one place"),
            ("surface", "station", "position_mm", "length_mm"),
        ),
        (
            gettext_lazy("Binding: the bare result"),
            ("outcome", "procedure_text", "inspected_as", "inspected_as_text", "device_text"),
        ),
    )

    operation = word_field("operation", gettext_lazy("Done"), blank=CHOOSE)
    operation_text = text_field(gettext_lazy("What, if other"))
    edge = word_field("edge", gettext_lazy("Edge"))
    tool_text = text_field(gettext_lazy("Tool or machine"))
    grit_text = text_field(gettext_lazy("Grit, cut or dressing"))
    passes = whole_field(*limits(Step, "passes"), label=gettext_lazy("Passes"))
    base_removed_mm = LengthField(
        fixed_step(Step, "base_removed_mm"), label=gettext_lazy("Base taken off")
    )
    edge_height_removed_mm = LengthField(
        fixed_step(Step, "edge_height_removed_mm"), label=gettext_lazy("Taken off the edge height")
    )
    edge_width_removed_mm = LengthField(
        fixed_step(Step, "edge_width_removed_mm"), label=gettext_lazy("Taken off the edge width")
    )
    wax_class = word_field("wax_class", gettext_lazy("Kind of wax"))
    wax_class_text = text_field(gettext_lazy("Which wax, if other"))
    iron_temperature_c = whole_field(
        *limits(Step, "iron_temperature_c"), label=gettext_lazy("Temperature of the iron in °C")
    )
    repair_method = word_field("repair_method", gettext_lazy("How base was filled in"))
    repair_method_text = text_field(gettext_lazy("Which method, if other"))
    repair_colour = word_field("base_colour", gettext_lazy("Colour of the filling"))
    repair_colour_text = text_field(gettext_lazy("Which colour, if other"))
    groove_width_mm = MillimetreField(
        fixed_step(Step, "groove_width_mm"), label=gettext_lazy("Width of the groove cut, in mm")
    )
    outcome = word_field("inspection", gettext_lazy("Result"))
    procedure_text = text_field(gettext_lazy("Procedure and edition followed"))
    inspected_as = word_field("inspected_as", gettext_lazy("Inspected as"))
    inspected_as_text = text_field(gettext_lazy("As what, if other"))
    device_text = text_field(gettext_lazy("Test device"))

    def __init__(self, data: Mapping[str, Any] | None = None, **kwargs: Any) -> None:
        super().__init__(data, **kwargs)
        self.fields.update(place_fields())


class MeasurementRow(RowForm):
    """One quantity at one place, before and after the work, on each ski."""

    named = gettext_lazy("Reading %(number)s")
    beside = frozenset({"quantity", "edge", "station"})
    fold = gettext_lazy("Exact place, uncertainty, gauge")
    groups = (
        (
            "",
            ("station", "surface", "position_mm", "uncertainty", "instrument"),
        ),
    )

    quantity = word_field(
        "quantity",
        gettext_lazy("Measured"),
        without=("base_gap_profile", "width_profile", "texture_trace", "other"),
        blank=CHOOSE,
    )
    edge = word_field("edge", gettext_lazy("Edge"), without=(BOTH,))
    uncertainty = ReadingField(
        label=gettext_lazy("Good to ± (k = 2)"), is_uncertainty=True, required=False
    )
    instrument = text_field(gettext_lazy("Gauge"))

    def __init__(
        self, data: Mapping[str, Any] | None = None, *, tags: Sequence[str], **kwargs: Any
    ) -> None:
        super().__init__(data, tags=(), **kwargs)
        places = place_fields()
        del places["length_mm"]
        self.fields.update(places)
        self.values = reading_names(tags)
        for name, label in self.values.items():
            self.fields[name] = ReadingField(label=label, required=False)

    @property
    def main(self) -> list[forms.BoundField]:
        """The fields that are always seen."""
        return [self[name] for name in ("quantity", "edge", *self.values)]

    def clean(self) -> dict[str, Any]:
        """Read the numbers, now that the quantity is known."""
        given = self.cleaned_data
        quantity = given.get("quantity")
        for name in (*self.values, "uncertainty"):
            text = given.get(name)
            if not text:
                continue
            if not quantity:
                self.add_error("quantity", _("Say what was measured."))
                break
            self._read(name, text, quantity)
        return given

    def _read(self, name: str, text: str, quantity: str) -> None:
        field = cast("ReadingField", self.fields[name])
        try:
            self.cleaned_data[name] = field.read(text, quantity, self.unit)
        except forms.ValidationError as error:
            self.add_error(name, error)


def reading_names(tags: Sequence[str]) -> dict[str, str]:
    """Name the fields for readings before and after, of each ski, with their labels."""
    names: dict[str, str] = {}
    for number, tag in enumerate(tags):
        if len(tags) == 1:
            labels = {"before": _("Before"), "after": _("After")}
        else:
            labels = {
                "before": _("%(tag)s before") % {"tag": tag},
                "after": _("%(tag)s after") % {"tag": tag},
            }
        names |= {f"{moment}_{number}": label for moment, label in labels.items()}
    return names


class ProfileRow(RowForm):
    """What a true bar across the base showed, on each ski."""

    named = gettext_lazy("Profile %(number)s")
    beside = frozenset({"moment", "station"})

    moment = word_field("moment", gettext_lazy("When"), blank=None, initial="before")
    station = word_field("station", gettext_lazy("Where along the ski"))

    def __init__(
        self, data: Mapping[str, Any] | None = None, *, tags: Sequence[str], **kwargs: Any
    ) -> None:
        super().__init__(data, tags=(), **kwargs)
        self.points = {f"points_{number}": tag for number, tag in enumerate(tags)}
        for name, tag in self.points.items():
            label = _("Gaps of %(tag)s") % {"tag": tag} if len(tags) > 1 else _("Gaps")
            self.fields[name] = GapsField(label=label, required=False)

    @property
    def main(self) -> list[forms.BoundField]:
        """The fields that are always seen."""
        return [self[name] for name in ("moment", "station", *self.points)]


class BevelRow(RowForm):
    """Bevels that were set, measured, or stated by the maker."""

    named = gettext_lazy("Bevels %(number)s")
    beside = frozenset({"on", "edge", "basis"})
    first = ("edge", "base_bevel_deg", "side_bevel_deg", "basis")
    fold = gettext_lazy("Facet, stretch, uncertainty, guide")
    groups = (
        (
            "",
            (
                "facet_width_mm",
                "station_from_mm",
                "station_to_mm",
                "moment",
                "uncertainty_deg",
                "instrument",
            ),
        ),
    )

    edge = word_field("edge", gettext_lazy("Edge"), blank=None, initial=BOTH)
    base_bevel_deg = BevelField(
        fixed_step(BevelSettingBody, "base_bevel_deg"), label=gettext_lazy("Base bevel")
    )
    side_bevel_deg = SideField(
        fixed_step(BevelSettingBody, "side_bevel_deg"), label=gettext_lazy("Side, bevel or angle")
    )
    basis = word_field("basis", gettext_lazy("How it is known"), blank=None, initial="set")
    facet_width_mm = LengthField(
        fixed_step(BevelSettingBody, "facet_width_mm"), label=gettext_lazy("Width of the facet")
    )
    station_from_mm = whole_field(
        *limits(BevelSettingBody, "station_from_mm"),
        label=gettext_lazy("From, in mm from the tail"),
    )
    station_to_mm = whole_field(
        *limits(BevelSettingBody, "station_to_mm"), label=gettext_lazy("To, in mm from the tail")
    )
    moment = word_field("moment", gettext_lazy("Measured before or after"))
    uncertainty_deg = BevelField(
        fixed_step(BevelSettingBody, "uncertainty_deg"), label=gettext_lazy("Good to ± (k = 2)")
    )
    instrument = text_field(gettext_lazy("Guide or gauge"))


class EarlierRow(forms.Form):
    """What becomes of a finding that an earlier visit left open."""

    def __init__(
        self,
        data: Mapping[str, Any] | None = None,
        *,
        prefix: str,
        label: str,
        initial: Mapping[str, Any] | None = None,
    ) -> None:
        super().__init__(data, prefix=prefix, initial=dict(initial or {}), label_suffix="")
        self.fields["done"] = forms.ChoiceField(
            label=label,
            required=False,
            choices=[("", _("still open")), ("repaired", _("mended in this visit"))],
        )

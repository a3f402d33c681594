"""The tune that is asked for, as a form whose address can be shared."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any, cast

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from apps.pages.bench.fields import (
    BevelField,
    LengthField,
    SideField,
    StepField,
    fixed_step,
    limits,
    whole_field,
    word_field,
)
from apps.pages.numbers import Unit
from apps.pages.places import place_text
from apps.pages.unknown_names import refuse_unknown
from apps.pages.words import word
from apps.records.bevel_setting import BevelSettingBody
from apps.records.job import Target
from apps.records.quantities import QUANTITIES, Quantity
from apps.records.step import Step
from apps.tuning.condition import OpenFinding
from apps.tuning.history import EDGES, Edge, FindingKey
from apps.tuning.plan_request import (
    GROUND_OUT,
    Assumed,
    AssumedEdge,
    EdgeTarget,
    PlaneOperation,
    Targets,
    TuneRequest,
)

BASE = fixed_step(BevelSettingBody, "base_bevel_deg")
SIDE = fixed_step(BevelSettingBody, "side_bevel_deg")
FACET = fixed_step(BevelSettingBody, "facet_width_mm")
WITHIN_DEG = fixed_step(BevelSettingBody, "uncertainty_deg")
TOLERANCE = fixed_step(Target, "flatness_tolerance_mm")
HEIGHT, WIDTH, BASE_LEFT = (
    QUANTITIES[one].step or TOLERANCE
    for one in (Quantity.EDGE_HEIGHT_MM, Quantity.EDGE_WIDTH_MM, Quantity.BASE_THICKNESS_MM)
)
ON_BOTH = ("base", "side")
OF_EDGE = ("base", "side", "facet", "height", "width")


def _measured(edge: str) -> dict[str, StepField]:
    return {
        f"now_{edge}_base": BevelField(BASE, label=gettext_lazy("Base bevel")),
        f"now_{edge}_side": SideField(SIDE, label=gettext_lazy("Side, bevel or angle")),
        f"now_{edge}_facet": LengthField(FACET, label=gettext_lazy("Width of the base facet")),
        f"now_{edge}_height": LengthField(HEIGHT, label=gettext_lazy("Edge height")),
        f"now_{edge}_width": LengthField(WIDTH, label=gettext_lazy("Edge width")),
    }


class PlanForm(forms.Form):
    """The tune asked for; an empty form asks for no work."""

    base = BevelField(BASE, label=gettext_lazy("Base bevel, both edges"))
    side = SideField(SIDE, label=gettext_lazy("Side, both edges: bevel or angle"))
    base_left = BevelField(BASE, label=gettext_lazy("Base bevel, left edge"))
    side_left = SideField(SIDE, label=gettext_lazy("Side, left edge: bevel or angle"))
    base_right = BevelField(BASE, label=gettext_lazy("Base bevel, right edge"))
    side_right = SideField(SIDE, label=gettext_lazy("Side, right edge: bevel or angle"))
    flat = LengthField(TOLERANCE, label=gettext_lazy("Flatten the base to a gap of at most"))
    spot = forms.BooleanField(
        required=False, label=gettext_lazy("Flatten only the worst stretch, by hand")
    )
    plane = word_field(
        "plane_operation", gettext_lazy("Made flat with"), blank=gettext_lazy("the stone")
    )
    structure = forms.BooleanField(required=False, label=gettext_lazy("Cut a structure"))
    wax = forms.BooleanField(required=False, label=gettext_lazy("Wax at the end"))
    iron = whole_field(
        *limits(Step, "iron_temperature_c"), label=gettext_lazy("Temperature of the iron in °C")
    )
    repair = forms.MultipleChoiceField(
        required=False,
        label=gettext_lazy("Mend"),
        widget=forms.CheckboxSelectMultiple,
    )
    grind = forms.MultipleChoiceField(
        required=False,
        label=gettext_lazy("Grind out instead"),
        widget=forms.CheckboxSelectMultiple,
    )
    hollow = LengthField(TOLERANCE, label=gettext_lazy("Light in the middle under the true bar"))
    crown = LengthField(TOLERANCE, label=gettext_lazy("Light at the sides under the true bar"))
    thickness = LengthField(BASE_LEFT, label=gettext_lazy("Base thickness"))
    within_mm = LengthField(TOLERANCE, label=gettext_lazy("These lengths are good to ±"))
    within_deg = BevelField(WITHIN_DEG, label=gettext_lazy("These bevels are good to ±"))

    def __init__(
        self, data: Mapping[str, Any] | None, *, findings: Sequence[OpenFinding], unit: Unit
    ) -> None:
        super().__init__(data, label_suffix="")
        for edge in EDGES:
            self.fields.update(_measured(edge))
        choices = [(key_text(one.finding.key), finding_text(one)) for one in findings]
        ground = {key_text(one.finding.key) for one in findings if one.finding.what in GROUND_OUT}
        self._choose("repair", choices)
        self._choose("grind", [one for one in choices if one[0] in ground])
        for field in self.fields.values():
            if isinstance(field, StepField):
                field.unit = unit

    def _choose(self, name: str, choices: list[tuple[str, str]]) -> None:
        field = cast("forms.MultipleChoiceField", self.fields[name])
        field.choices = choices
        # A finding that was mended since the address was shared.
        field.error_messages["invalid_choice"] = _("This finding is no longer open. Leave it out.")

    def clean(self) -> dict[str, Any]:
        """Refuse wishes that exclude each other, and what no field stands for."""
        given = self.cleaned_data
        refuse_unknown(self, self.data)
        if given.get("spot") and given.get("flat") is not None:
            self.add_error("spot", _("Flatten the whole base or only a stretch: choose one."))
        if given.get("hollow") is not None and given.get("crown") is not None:
            self.add_error("crown", _("The base is hollow or high in the middle: give one."))
        if set(given.get("repair", ())) & set(given.get("grind", ())):
            self.add_error("grind", _("A finding is mended or ground out: choose one."))
        for edge in EDGES:
            for name in ("facet", "height", "width"):
                if given.get(f"now_{edge}_{name}") == 0:
                    self.add_error(f"now_{edge}_{name}", _("Give more than nothing."))
        return given

    def asked(self) -> TuneRequest:
        """Give it to the arithmetic; the form is valid."""
        given = self.cleaned_data
        return TuneRequest(
            targets=Targets(self._target("left"), self._target("right")),
            flatness_tolerance_mm=_plain(given["flat"]),
            spot_flatten=given["spot"],
            structure=given["structure"],
            repair=_keys(given.get("repair", ())),
            grind_out=_keys(given.get("grind", ())),
            wax=given["wax"],
            iron_temperature_c=given["iron"],
            plane_operation=cast("PlaneOperation", given["plane"] or "stone_grind"),
            assumed=self._assumed(),
        )

    def _target(self, edge: Edge) -> EdgeTarget:
        base, side = (self._wanted(name, edge) for name in ON_BOTH)
        return EdgeTarget(_plain(base), _plain(side))

    def _wanted(self, name: str, edge: Edge) -> Decimal | None:
        own: Decimal | None = self.cleaned_data[f"{name}_{edge}"]
        both: Decimal | None = self.cleaned_data[name]
        return both if own is None else own

    def _assumed(self) -> Assumed:
        given = self.cleaned_data
        left, right = (AssumedEdge(*self._now(edge)) for edge in EDGES)
        return Assumed(
            left=left,
            right=right,
            concavity_mm=_plain(given["hollow"]),
            convexity_mm=_plain(given["crown"]),
            base_thickness_mm=_plain(given["thickness"]),
            uncertainty_mm=_plain(given["within_mm"]),
            uncertainty_deg=_plain(given["within_deg"]),
        )

    def _now(self, edge: Edge) -> list[float | None]:
        return [_plain(self.cleaned_data[f"now_{edge}_{name}"]) for name in OF_EDGE]

    @property
    def targets(self) -> list[forms.BoundField]:
        """The bevels for both edges."""
        return [self[name] for name in ON_BOTH]

    @property
    def apart(self) -> list[forms.BoundField]:
        """The bevels where the edges differ."""
        return [self[f"{name}_{edge}"] for edge in EDGES for name in ON_BOTH]

    @property
    def ground(self) -> list[forms.BoundField]:
        """What is done to the base."""
        return [self[name] for name in ("flat", "spot", "plane", "structure")]

    @property
    def waxing(self) -> list[forms.BoundField]:
        """Wax and iron."""
        return [self["wax"], self["iron"]]

    @property
    def mending(self) -> list[forms.BoundField]:
        """What is mended of what is open."""
        fields = [self[name] for name in ("repair", "grind")]
        return [one for one in fields if one.errors or one.subwidgets]

    @property
    def measured_left(self) -> list[forms.BoundField]:
        """What was read on the left edge just now."""
        return [self[f"now_left_{name}"] for name in OF_EDGE]

    @property
    def measured_right(self) -> list[forms.BoundField]:
        """What was read on the right edge just now."""
        return [self[f"now_right_{name}"] for name in OF_EDGE]

    @property
    def measured_base(self) -> list[forms.BoundField]:
        """What was read on the base just now, and how good the readings are."""
        names = ("hollow", "crown", "thickness", "within_mm", "within_deg")
        return [self[name] for name in names]

    @property
    def is_apart(self) -> bool:
        """Whether something is asked for that differs from edge to edge, or is wrong there."""
        return any(one.data or one.errors for one in self.apart)

    @property
    def is_measured(self) -> bool:
        """Whether something was measured just now, or is wrong there."""
        fields = [*self.measured_left, *self.measured_right, *self.measured_base]
        return any(one.data or one.errors for one in fields)


def key_text(key: FindingKey) -> str:
    """Write which finding is meant, as an address carries it."""
    return f"{key.record}:{key.index}"


def finding_key(text: str) -> FindingKey:
    """Read it back."""
    record, _colon, index = text.partition(":")
    return FindingKey(record, int(index))


def finding_text(one: OpenFinding) -> str:
    """Name an open finding: what, how bad and where."""
    finding = one.finding
    told = {
        "what": word("finding", finding.what),
        "severity": word("severity", finding.severity),
        "place": place_text(finding.place),
    }
    if not told["place"]:
        return _("%(what)s, %(severity)s") % told
    return _("%(what)s, %(severity)s: %(place)s") % told


def _keys(texts: Sequence[str]) -> tuple[FindingKey, ...]:
    return tuple(finding_key(text) for text in texts)


def _plain(value: Decimal | None) -> float | None:
    return None if value is None else float(value)

"""What a visit found, did, measured and set, a line each."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from django.utils.formats import number_format
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from apps.pages.numbers import Unit, degrees, length, plain
from apps.pages.places import place_text, stretch_text
from apps.pages.ski.said import said
from apps.pages.words import word
from apps.records.bevel_setting import BevelSettingBody
from apps.records.finding import Finding
from apps.records.job import Target
from apps.records.measurement import MeasurementBody
from apps.records.quantities import QUANTITIES, Quantity
from apps.records.step import Inspection, Step
from apps.registry.visits import MATERIAL

UNITS = {"um": "µm", "HRC": "HRC"}


def listed(*terms: str) -> str:
    """Put terms that are not empty in a row, the first one with a capital."""
    return capfirst(", ".join(term for term in terms if term))


def finding_line(one: Finding) -> str:
    """Say what was found, where, how bad, and whether it was mended."""
    return listed(
        said("finding", one.what, one.what_text),
        place_text(one.where),
        size_text(one),
        word("severity", one.severity),
        word("finding_state", one.state),
    )


def size_text(finding: Finding) -> str:
    """Say how deep and how wide a finding is; "" where nobody measured it."""
    return ", ".join(_sizes(finding))


def _sizes(finding: Finding) -> Iterator[str]:
    if finding.depth_mm is not None:
        yield _("%(depth)s mm deep") % {"depth": plain(finding.depth_mm, 2)}
    if finding.width_mm is not None:
        yield _("%(width)s mm wide") % {"width": plain(finding.width_mm, 1)}


def step_line(step: Step) -> str:
    """Say what was done, where, and with what."""
    return listed(
        said("operation", step.operation, step.operation_text),
        word("edge", step.edge) if step.edge else "",
        place_text(step.place),
        step.tool_text or "",
        step.grit_text or "",
        _passes(step.passes),
        *_facts(step),
    )


def _passes(passes: int | None) -> str:
    if passes is None:
        return ""
    return ngettext("%(passes)s pass", "%(passes)s passes", passes) % {"passes": passes}


def _facts(step: Step) -> Iterator[str]:
    if step.wax_class:
        yield said("wax_class", step.wax_class, step.wax_class_text)
    if step.iron_temperature_c is not None:
        yield _("iron at %(degrees)s °C") % {"degrees": step.iron_temperature_c}
    if step.repair_method:
        yield said("repair_method", step.repair_method, step.repair_method_text)
    if step.repair_colour:
        yield said("base_colour", step.repair_colour, step.repair_colour_text)
    if step.groove_width_mm is not None:
        yield _("groove %(width)s mm wide") % {"width": number_format(step.groove_width_mm)}
    if step.inspection is not None:
        yield inspection_text(step.inspection)


def inspection_text(one: Inspection) -> str:
    """Give the bare result of a binding inspection, never a setting."""
    shown = {
        "outcome": word("inspection", one.outcome),
        "procedure": one.procedure_text,
        "rule": said("inspected_as", one.inspected_as, one.inspected_as_text),
    }
    return _("%(outcome)s, by %(procedure)s (%(rule)s)") % shown


def measurement_line(one: MeasurementBody, unit: Unit) -> str:
    """Say what was measured, where, how surely, and with what."""
    name = said("quantity", one.quantity, one.quantity_text)
    moment = word("moment", one.moment) if one.moment else ""
    where = place_text(one)
    return _("%(what)s: %(reading)s") % {
        "what": listed(name, where, moment),
        "reading": ", ".join(filter(None, (_reading(one, unit), one.instrument or ""))),
    }


def _reading(one: MeasurementBody, unit: Unit) -> str:
    if one.not_measured is not None:
        return said("not_measured", one.not_measured, one.not_measured_text)
    if one.value is None:
        return _points(one)
    if one.quantity in MATERIAL:
        value, spread = one.value, one.uncertainty
        return _with_spread(_small(value, unit), None if spread is None else _small(spread, unit))
    name = _unit_of(one)
    spread_text = None if one.uncertainty is None else number_format(one.uncertainty)
    return _with_unit(_with_spread(number_format(one.value), spread_text), name)


def _small(value_mm: Decimal, unit: Unit) -> str:
    return length(value_mm, unit, 3)


def _with_spread(value: str, spread: str | None) -> str:
    return value if spread is None else f"{value} ± {spread}"


def _with_unit(value: str, unit: str) -> str:
    return f"{value} {unit}" if unit else value


def _unit_of(one: MeasurementBody) -> str:
    if one.quantity is Quantity.OTHER:
        return one.unit_text or ""
    step = QUANTITIES[one.quantity].step
    unit = step.unit if step else ""
    return UNITS.get(unit, unit)


def _points(one: MeasurementBody) -> str:
    count = len(one.profile or (one.trace.heights_um if one.trace else ()))
    return ngettext("%(count)s point", "%(count)s points", count) % {"count": count}


def bevel_line(one: BevelSettingBody, unit: Unit) -> str:
    """Say which bevels were set, measured or specified."""
    return _("%(edge)s: %(bevels)s") % {
        "edge": listed(
            word("edge", one.edge), stretch_text(one.station_from_mm, one.station_to_mm)
        ),
        "bevels": ", ".join(_bevels(one, unit)),
    }


def _bevels(one: BevelSettingBody, unit: Unit) -> Iterator[str]:
    if one.base_bevel_deg is not None:
        yield _("base bevel %(bevel)s") % {"bevel": degrees(one.base_bevel_deg)}
    if one.side_bevel_deg is not None:
        yield _("side bevel %(bevel)s") % {"bevel": degrees(one.side_bevel_deg)}
    if one.facet_width_mm is not None:
        yield _("facet %(width)s wide") % {"width": length(one.facet_width_mm, unit)}
    if one.uncertainty_deg is not None:
        yield _("sure to %(uncertainty)s") % {"uncertainty": degrees(one.uncertainty_deg)}
    yield word("basis", one.basis)
    if one.moment:
        yield word("moment", one.moment)
    if one.instrument:
        yield one.instrument


def target_line(target: Target, unit: Unit) -> str:
    """Say what the tune was to reach."""
    return listed(*_targets(target, unit))


def _targets(target: Target, unit: Unit) -> Iterator[str]:
    if target.base_bevel_deg is not None:
        yield _("base bevel %(bevel)s") % {"bevel": degrees(target.base_bevel_deg)}
    if target.side_bevel_deg is not None:
        yield _("side bevel %(bevel)s") % {"bevel": degrees(target.side_bevel_deg)}
    if target.flatness_tolerance_mm is not None:
        gap = length(target.flatness_tolerance_mm, unit)
        yield _("flat to %(gap)s") % {"gap": gap}
    if target.structure_text:
        yield target.structure_text

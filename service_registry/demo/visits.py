"""One visit of a simulated ski to a bench: each call works the ski and writes that down."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from service_registry.demo.chronicle import LabelOf
from service_registry.demo.gauges import Body, Gauges
from service_registry.demo.truth import TrueSki

MODERATE_FROM_MM, SEVERE_FROM_MM = 0.5, 1.0


@dataclass(slots=True)
class Visit:
    """A job under way.

    Parameters
    ----------
    ski : TrueSki
        The ski that lies on the bench.
    gauges : Gauges or None
        None for a bench that takes no reading on this ski.
    technician : str
        Alias of the one who works.
    """

    ski: TrueSki
    gauges: Gauges | None
    technician: str
    findings: list[Body] = field(default_factory=list)
    steps: list[Body] = field(default_factory=list)
    measurements: list[Body] = field(default_factory=list)
    bevels: list[Body] = field(default_factory=list)
    target: Body = field(default_factory=dict)

    def body(self) -> Body:
        """Give the body of the job."""
        lists = {
            "findings": self.findings,
            "steps": self.steps,
            "measurements": self.measurements,
            "bevel_settings": self.bevels,
            "target": self.target,
        }
        return {"technician": self.technician} | {k: v for k, v in lists.items() if v}

    def did(self, operation: str, **facts: Any) -> None:
        """Write down a step."""
        self.steps.append({"operation": operation, **facts})

    def found(self, what: str, severity: str, state: str, **facts: Any) -> None:
        """Write down a finding."""
        self.findings.append({"what": what, "severity": severity, "state": state, **facts})

    def read(self, moment: str | None, *, widths: bool = False, base: bool = False) -> None:
        """Read what this bench has gauges for; nothing where it takes no reading."""
        if self.gauges is None:
            return
        self.measurements += self.gauges.edge_heights(self.ski, moment)
        if widths:
            self.measurements += self.gauges.edge_widths(self.ski, moment)
        if base:
            self.measurements.append(self.gauges.base(self.ski, moment))

    def lay_bar(self, moment: str | None) -> None:
        """Lay a true bar across the base."""
        if self.gauges is not None:
            self.measurements.append(self.gauges.bar(self.ski, moment))

    def read_bevels(self, moment: str) -> None:
        """Read the bevels."""
        if self.gauges is not None:
            self.bevels += self.gauges.bevels(self.ski, moment)

    def fill_damage(self) -> None:
        """Fill every gouge and take the filling down."""
        for depth in self.ski.damage:
            where = {"surface": "base", "position_mm": int(self.ski.rng.integers(250, 1450))}
            self.found(
                "core_shot" if depth >= SEVERE_FROM_MM else "gouge",
                severity_of(depth),
                "repaired",
                depth_mm=f"{depth:.2f}",
                where=where,
            )
            self.did("open_gouge", place=where)
            self.did("fill_gouge", place=where, repair_method="extruder", repair_colour="black")
            self.did("remove_excess", place=where, tool_text="steel scraper")
        self.ski.damage.clear()

    def leave_open(self, depth: float, where: Body) -> None:
        """Write down a gouge and leave it as it is."""
        facts = {"depth_mm": f"{depth:.2f}", "width_mm": "3.0", "where": where}
        self.found("gouge", severity_of(depth), "open", **facts)

    def freshen(self, job_label: str) -> None:
        """Bring rust and a dry base, the first two findings of an earlier visit, to an end."""
        for index, what in enumerate(("oxidised_base", "rust")):
            earlier = {"record": LabelOf(job_label), "index": index}
            self.found(what, "slight", "repaired", closes=earlier)

    def grind(self, passes: int, *, stated: bool, depth_a_pass_mm: float = 0.017) -> None:
        """Grind on the stone; a bench that states it writes down what it took off."""
        facts: Body = {"passes": passes, "grit_text": "stone dressed medium"}
        depth = self.ski.grind(passes, depth_a_pass_mm)
        if stated:
            facts |= {"edge_height_removed_mm": f"{depth:.3f}", "base_removed_mm": f"{depth:.3f}"}
        self.did("stone_grind", **facts)

    def set_bevels(self, base_deg: float | None, side_deg: float, *, passes: int) -> None:
        """Set the bevels of both edges with guides; None leaves the base facets as they are."""
        setting: Body = {"edge": "both", "side_bevel_deg": f"{side_deg:.2f}", "basis": "set"}
        if base_deg is not None:
            self.ski.bevel_bases(base_deg)
            self.did("base_bevel", tool_text="file in a guide", passes=4)
            setting["base_bevel_deg"] = f"{base_deg:.2f}"
            setting["facet_width_mm"] = f"{self.ski.left.facet_mm:.2f}"
        self.ski.file_sides(side_deg, passes)
        self.did("side_bevel", tool_text="file in a guide", passes=passes)
        self.did("deburr")
        self.bevels.append(setting | {"instrument": "fixed guides"})

    def wax(self, wax_class: str = "universal", iron_c: int = 120) -> None:
        """Wax hot, scrape and brush."""
        self.did("wax", wax_class=wax_class, iron_temperature_c=iron_c)
        self.did("scrape_wax")
        self.did("brush")

    def inspect_binding(self, inspected_as: str) -> None:
        """Write down that a trained technician inspected the binding; never a setting."""
        standard = {"short_rental": "ISO 13993:2019", "owned_or_long_rental": "ISO 11088:2023"}
        inspection = {
            "procedure_text": standard[inspected_as],
            "device_text": "torque tester",
            "inspected_as": inspected_as,
            "outcome": "passed",
        }
        self.did("inspect_binding", inspection=inspection)


def severity_of(depth_mm: float) -> str:
    """Say how bad a gouge of some depth is."""
    if depth_mm >= SEVERE_FROM_MM:
        return "severe"
    return "moderate" if depth_mm >= MODERATE_FROM_MM else "slight"

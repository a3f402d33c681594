"""What a bench's gauges show of a simulated ski: the truth, with less noise than they state."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from service_registry.demo.truth import TrueSki

Body = dict[str, Any]

# A gauge's stated uncertainty (k = 2) covers more than the scatter of one hand at one place.
SCATTER = 0.25
BAR_X_MM = (0.0, 8.0, 16.0, 24.0, 32.0, 40.0, 48.0, 56.0, 64.0, 72.0)


@dataclass(frozen=True, slots=True)
class Gauges:
    """The gauges of one bench, each with its expanded uncertainty (k = 2).

    Attributes
    ----------
    edge_text : str
        The gauge for steel.
    edge_mm, base_mm, bevel_deg : float
        Expanded uncertainty; `base_mm` is None where the bench can't measure the base.
    """

    edge_text: str
    edge_mm: float
    bevel_text: str
    bevel_deg: float
    base_mm: float | None = None

    def edge_heights(self, ski: TrueSki, moment: str | None) -> list[Body]:
        """Read both edges at the waist."""
        return [
            self._steel("edge_height_mm", name, edge.height_mm, ski, moment)
            for name, edge in (("left", ski.left), ("right", ski.right))
        ]

    def edge_widths(self, ski: TrueSki, moment: str | None) -> list[Body]:
        """Read both edges at the waist."""
        return [
            self._steel("edge_width_mm", name, edge.width_mm, ski, moment)
            for name, edge in (("left", ski.left), ("right", ski.right))
        ]

    def _steel(
        self, quantity: str, edge: str, true_mm: float, ski: TrueSki, moment: str | None
    ) -> Body:
        body = {
            "quantity": quantity,
            "value": f"{_read(ski, true_mm, self.edge_mm):.2f}0",
            "uncertainty": f"{self.edge_mm:.3f}",
            "edge": edge,
            "station": "waist",
            "instrument": self.edge_text,
        }
        return with_moment(body, moment)

    def base(self, ski: TrueSki, moment: str | None) -> Body:
        """Read the base, or say why there is no reading."""
        body: Body = {"quantity": "base_thickness_mm", "surface": "base", "station": "waist"}
        if self.base_mm is None:
            return with_moment(body | {"not_measured": "no_gauge"}, moment)
        value = f"{_read(ski, ski.base_mm, self.base_mm):.2f}0"
        return with_moment(body | {"value": value, "uncertainty": f"{self.base_mm:.3f}"}, moment)

    def bar(self, ski: TrueSki, moment: str | None) -> Body:
        """Lay a true bar across the base at the waist: the light under it [um], edge to edge."""
        middle = BAR_X_MM[-1] / 2
        gaps = [
            ski.hollow_mm * 1000 * (1 - ((x - middle) / middle) ** 2) + abs(ski.rng.normal(0, 1))
            for x in BAR_X_MM
        ]
        points = [
            {"x_mm": f"{x:.1f}", "gap_um": round(gap)}
            for x, gap in zip(BAR_X_MM, gaps, strict=True)
        ]
        body = {"quantity": "base_gap_profile", "profile": points, "station": "waist"}
        return with_moment(body | {"instrument": "true bar and feeler gauges"}, moment)

    def bevels(self, ski: TrueSki, moment: str | None) -> list[Body]:
        """Read both bevels of both edges."""
        return [
            with_moment(
                {
                    "edge": name,
                    "base_bevel_deg": f"{_read(ski, edge.base_bevel_deg, self.bevel_deg):.2f}",
                    "side_bevel_deg": f"{_read(ski, edge.side_bevel_deg, self.bevel_deg):.2f}",
                    "facet_width_mm": f"{edge.facet_mm:.1f}0",
                    "basis": "measured",
                    "uncertainty_deg": f"{self.bevel_deg:.2f}",
                    "instrument": self.bevel_text,
                },
                moment,
            )
            for name, edge in (("left", ski.left), ("right", ski.right))
        ]


def with_moment(body: Body, moment: str | None) -> Body:
    """Say whether it was read before or after the work; a reading on its own says neither."""
    return body if moment is None else body | {"moment": moment}


def _read(ski: TrueSki, true: float, expanded: float) -> float:
    return max(0.0, true + float(ski.rng.normal(0.0, expanded * SCATTER)))


HIRE_GAUGES = Gauges("depth gauge with a foot, 0.01 mm", 0.03, "bevel gauge, quarter degree", 0.25)
BENCH_GAUGES = Gauges("edge micrometer, 0.01 mm", 0.02, "digital bevel gauge", 0.10, 0.05)
DEALER_GAUGES = Gauges("slide caliper, 0.01 mm", 0.05, "bevel gauge, half degree", 0.50)

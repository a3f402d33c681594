"""The models of the scenario's skis; makers and names are invented."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class SkiModel:
    """What a description says of a ski; widths in mm, radius in m."""

    maker: str
    name: str
    year: int
    length_mm: int
    widths_mm: tuple[float, float, float]
    radius_m: float
    use: str
    base: str = "sintered"
    construction: str = "cap"

    def described(self) -> dict[str, Any]:
        """Give the body of its description."""
        shovel, waist, tail = (f"{width:.1f}" for width in self.widths_mm)
        return {
            "maker_text": self.maker,
            "model_text": self.name,
            "model_year": self.year,
            "length_mm": self.length_mm,
            "shovel_width_mm": shovel,
            "waist_width_mm": waist,
            "tail_width_mm": tail,
            "declared_radius_m": f"{self.radius_m:.1f}",
            "use": self.use,
            "base_material": self.base,
            "construction": self.construction,
        }


def rental_models(year: int) -> tuple[SkiModel, ...]:
    """Give the models that the fleet bought in a year."""
    return (
        SkiModel("Skarnlund", "Easy 74", year, 1540, (122.0, 74.0, 104.0), 12.8, "rental"),
        SkiModel("Skarnlund", "Easy 74", year, 1620, (123.0, 74.0, 105.0), 14.1, "rental"),
        SkiModel("Skarnlund", "Guest 78", year, 1700, (126.0, 78.0, 108.0), 15.9, "rental"),
    )


def race_model(year: int) -> SkiModel:
    """Give the model that the workshop tunes for a racing club."""
    widths = (118.0, 66.0, 102.0)
    return SkiModel(
        "Ostrefjell", "SL", year, 1650, widths, 12.6, "race_slalom", construction="sandwich"
    )


def used_model(year: int) -> SkiModel:
    """Give the model that the dealer took in exchange."""
    widths = (121.0, 71.0, 103.0)
    return SkiModel(
        "Ostrefjell", "Carve 71", year, 1680, widths, 15.0, "piste", construction="sandwich"
    )

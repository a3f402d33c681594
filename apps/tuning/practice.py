"""Values that are practice, not physics: a shop may set each of them for itself.

Every default below is common practice with no source and wide limits on purpose. A figure
computed from one is marked ``practice`` wherever it is shown and never mixed with readings.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from apps.tuning.history import MaterialQuantity, Severity


@dataclass(frozen=True, slots=True)
class Amount:
    """What one pass or service takes off, in mm: the usual amount between two wide limits."""

    low_mm: float
    usual_mm: float
    high_mm: float

    def __post_init__(self) -> None:
        if not 0.0 <= self.low_mm <= self.usual_mm <= self.high_mm:
            raise ValueError("An amount needs 0 <= low_mm <= usual_mm <= high_mm.")

    def times(self, count: float) -> Amount:
        """The amount taken by ``count`` repeats."""
        return Amount(self.low_mm * count, self.usual_mm * count, self.high_mm * count)


NOTHING = Amount(0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Removal:
    """What one run of an operation takes off edge height, edge width and base, in mm."""

    edge_height: Amount = NOTHING
    edge_width: Amount = NOTHING
    base_thickness: Amount = NOTHING

    def of(self, quantity: MaterialQuantity) -> Amount:
        """The amount for one quantity."""
        amounts: dict[MaterialQuantity, Amount] = {
            "edge_height": self.edge_height,
            "edge_width": self.edge_width,
            "base_thickness": self.base_thickness,
        }
        return amounts[quantity]


def _plane(low: float, usual: float, high: float) -> Removal:
    amount = Amount(low, usual, high)
    return Removal(edge_height=amount, base_thickness=amount)


PRACTICE_REMOVALS: Mapping[str, Removal] = MappingProxyType(
    {
        "stone_grind": _plane(0.02, 0.05, 0.12),
        "belt_grind": _plane(0.04, 0.10, 0.25),
        "file_flat": _plane(0.01, 0.03, 0.08),
        "scrape_steel": Removal(base_thickness=Amount(0.005, 0.02, 0.06)),
        "spot_flatten": Removal(base_thickness=Amount(0.0, 0.01, 0.03)),
        "structure": _plane(0.005, 0.01, 0.03),
        "base_bevel": Removal(edge_height=Amount(0.0, 0.01, 0.03)),
        "side_bevel": Removal(edge_width=Amount(0.01, 0.03, 0.08)),
        "remove_hardened_spot": Removal(edge_width=Amount(0.0, 0.005, 0.02)),
        "polish_edge": Removal(edge_width=Amount(0.0, 0.002, 0.008)),
        "deburr": Removal(),
    }
)


@dataclass(frozen=True, slots=True)
class Practice:
    """A shop's settings for what no formula can give; lengths in mm, angles in degrees.

    ``least_*`` is the material below which the shop won't work a ski any further.
    ``reading_uncertainty_mm`` and ``bevel_uncertainty_deg`` (expanded, k = 2) stand in where a
    record states none. ``facet_width_mm`` is the width of facet assumed for a bevel whose facet
    nobody measured, ``facet_width_uncertainty_mm`` how far that may be off (k = 2), and
    ``profile_uncertainty_mm`` how far one gap under a true bar may be off (k = 2).
    ``gauge_shared_share`` is the share of a reading's variance that all readings of its gauge have
    in common and that averaging therefore leaves, 0 to below 1.
    ``bevel_tolerance_deg`` is how far a finished bevel may lie to either side of its target.
    ``usual_base_bevel_deg`` and ``usual_side_bevel_deg`` are what the shop sets where nobody asks
    for another. ``pair_*`` is how far the two skis of a pair may differ before they are apart, and
    ``radius_uncertainty_m`` how far a turn radius out of widths may be off (k = 2).
    ``service_operations`` are what this shop calls one usual service.

    A ski is due ``due_after_days_out`` days out or ``due_after_calendar_days`` days after its
    last job, and from the day of an open finding of ``due_for_finding`` or worse. ``mend_*_days``
    are the days in which the shop mends such a finding; they say how urgent it gets, not
    whether. ``season_first`` and ``season_last`` (``MM-DD``) are the ends of its season.
    """

    least_edge_height_mm: float = 0.8
    least_edge_width_mm: float = 1.0
    least_base_thickness_mm: float = 0.6
    reading_uncertainty_mm: float = 0.05
    bevel_uncertainty_deg: float = 0.25
    facet_width_mm: float = 2.0
    facet_width_uncertainty_mm: float = 0.5
    profile_uncertainty_mm: float = 0.01
    gauge_shared_share: float = 0.5
    flatness_tolerance_mm: float = 0.1
    bevel_tolerance_deg: float = 0.25
    usual_base_bevel_deg: float = 1.0
    usual_side_bevel_deg: float = 2.0
    radius_uncertainty_m: float = 0.3
    pair_bevel_deg: float = 0.5
    pair_steel_mm: float = 0.15
    pair_base_mm: float = 0.15
    pair_radius_m: float = 0.5
    pair_length_mm: float = 5.0
    pair_days: int = 5
    long_gap_days: int = 730
    due_after_days_out: int = 20
    due_after_calendar_days: int = 365
    due_for_finding: Severity = "moderate"
    mend_severe_days: int = 1
    mend_moderate_days: int = 7
    mend_slight_days: int = 30
    season_first: str = "12-01"
    season_last: str = "04-15"
    service_operations: tuple[str, ...] = ("stone_grind", "base_bevel", "side_bevel")
    removals: Mapping[str, Removal] = field(default_factory=lambda: PRACTICE_REMOVALS)

    def least_mm(self, quantity: MaterialQuantity) -> float:
        """The shop's least for one quantity, in mm."""
        least: dict[MaterialQuantity, float] = {
            "edge_height": self.least_edge_height_mm,
            "edge_width": self.least_edge_width_mm,
            "base_thickness": self.least_base_thickness_mm,
        }
        return least[quantity]

    def removal(self, operation: str) -> Removal:
        """What the operation takes off by this shop's practice; nothing if it has no entry."""
        return self.removals.get(operation, Removal())

    def with_removals(self, changed: Mapping[str, Removal]) -> Practice:
        """The same practice with some operations' removals replaced."""
        return replace(self, removals=MappingProxyType({**self.removals, **changed}))

"""A computed length with what a person may ask of it: how sure, by what method, resting on what."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from apps.tuning.uncertainty import USUAL_COVERAGE_FACTOR

FigureBasis = Literal["readings", "practice", "readings less practice"]
"""What a figure rests on: records alone, a shop's practice alone, or the first less the second."""

Sureness = Literal["certain", "likely", "possible"]

Confidence = Literal["about 95 %", "about 95 % if practice holds", "by practice alone"]
"""How sure it is that the true value lies between the limits of a figure."""

_CONFIDENCE: Mapping[FigureBasis, Confidence] = MappingProxyType(
    {
        "readings": "about 95 %",
        "readings less practice": "about 95 % if practice holds",
        "practice": "by practice alone",
    }
)


@dataclass(frozen=True, slots=True)
class Length:
    """A computed length between the limits within which it lies.

    Attributes
    ----------
    value_mm : float
        Best estimate [mm].
    low_mm, high_mm : float
        Limits [mm], expanded with `coverage_factor`; uneven where practice with uneven limits
        went in, and cut where physics or another reading sets a nearer limit.
    method : str
        Name of the rule that gave it.
    basis : {"readings", "practice", "readings less practice"}
        What it rests on.
    rests_on : tuple of str
        Ids of the records behind it, in order of time.
    coverage_factor : float
        k [1]: 2 where the uncertainties were stated, by Student's t where they had to be
        estimated from a few readings; of the wider side where the sides differ.
    degrees_of_freedom : float or None
        Effective ones [1], by Welch and Satterthwaite; None where nothing limits them, because
        the uncertainties were stated and not estimated.
    """

    value_mm: float
    low_mm: float
    high_mm: float
    method: str
    basis: FigureBasis
    rests_on: tuple[str, ...]
    coverage_factor: float = USUAL_COVERAGE_FACTOR
    degrees_of_freedom: float | None = None

    @property
    def confidence(self) -> Confidence:
        """How sure it is that the true value lies between the limits."""
        return _CONFIDENCE[self.basis]

    @property
    def standard_uncertainty_mm(self) -> float:
        """Expanded uncertainty over its coverage factor [mm], for sums and differences."""
        return self.expanded_uncertainty_mm / self.coverage_factor

    @property
    def expanded_uncertainty_mm(self) -> float:
        """The wider of the two sides [mm], for those who can show one number only."""
        return max(self.value_mm - self.low_mm, self.high_mm - self.value_mm)


def in_turn(*records: Iterable[str]) -> tuple[str, ...]:
    """Record ids one after the other, each once, where it came first."""
    return tuple(dict.fromkeys(record for group in records for record in group))

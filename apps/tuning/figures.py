"""A computed length with what a person may ask of it: how sure, by what method, resting on what."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

FigureBasis = Literal["readings", "practice", "readings less practice"]
"""What a figure rests on: records alone, a shop's practice alone, or the first less the second."""

Sureness = Literal["certain", "likely", "possible"]


@dataclass(frozen=True, slots=True)
class Length:
    """A computed length between the limits within which it lies.

    Attributes
    ----------
    value_mm : float
        Best estimate [mm].
    low_mm, high_mm : float
        Limits [mm], expanded with k = 2; uneven where practice with uneven limits went in.
    method : str
        Name of the rule that gave it.
    basis : {"readings", "practice", "readings less practice"}
        What it rests on.
    rests_on : tuple of str
        Ids of the records behind it, in order of time.
    """

    value_mm: float
    low_mm: float
    high_mm: float
    method: str
    basis: FigureBasis
    rests_on: tuple[str, ...]

    @property
    def expanded_uncertainty_mm(self) -> float:
        """The wider of the two sides [mm], for those who can show one number only."""
        return max(self.value_mm - self.low_mm, self.high_mm - self.value_mm)


def in_turn(*records: Iterable[str]) -> tuple[str, ...]:
    """Record ids one after the other, each once, where it came first."""
    return tuple(dict.fromkeys(record for group in records for record in group))

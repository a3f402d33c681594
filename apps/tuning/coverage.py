"""From the parts of an uncertainty to limits: combined, with its degrees of freedom and factor."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from apps.tuning.errors import require_not_negative
from apps.tuning.uncertainty import (
    USUAL_COVERAGE_FACTOR,
    combine_standard,
    coverage_factor,
    effective_degrees_of_freedom,
)

USUAL_CONFIDENCE = math.erf(USUAL_COVERAGE_FACTOR / math.sqrt(2.0))
"""What k = 2 covers of a normal distribution: 95.45 %."""


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a combined uncertainty.

    Attributes
    ----------
    standard_uncertainty : float
        Its share (k = 1), in the unit of the result.
    degrees_of_freedom : float
        How many independent readings it was estimated from, less one [1]; infinite for an
        uncertainty that was stated and not estimated here.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If the uncertainty is negative or not a number.
    """

    standard_uncertainty: float
    degrees_of_freedom: float = math.inf

    def __post_init__(self) -> None:
        require_not_negative(self.standard_uncertainty, "standard_uncertainty")


@dataclass(frozen=True, slots=True)
class Combined:
    """A combined uncertainty and what it takes to expand it.

    Attributes
    ----------
    standard_uncertainty : float
        All parts together (k = 1), in the unit of the result.
    degrees_of_freedom : float
        Effective ones [1]; infinite where no part limits them.
    coverage_factor : float
        k for 95.45 % [1]: 2 with infinite degrees of freedom, by Student's t with fewer.
    """

    standard_uncertainty: float
    degrees_of_freedom: float
    coverage_factor: float

    @property
    def expanded(self) -> float:
        """Expanded uncertainty, k times the standard one [unit of the result]."""
        return self.coverage_factor * self.standard_uncertainty


def usual_coverage_factor(degrees_of_freedom: float) -> float:
    """Coverage factor that covers what k = 2 does where the uncertainty is surely known.

    Parameters
    ----------
    degrees_of_freedom : float
        Of the combined uncertainty [1]; may be infinite.

    Returns
    -------
    float
        k [1]; exactly 2 for infinite degrees of freedom.

    Raises
    ------
    OutOfRangeError
        If the degrees of freedom are not above zero.

    Notes
    -----
    Source: JCGM 100:2008, G.3 and the column 95.45 % of table G.2.
    """
    if degrees_of_freedom == math.inf:
        return USUAL_COVERAGE_FACTOR
    return coverage_factor(degrees_of_freedom, USUAL_CONFIDENCE)


def combine_parts(parts: Sequence[Part]) -> Combined:
    """Combine independent parts of one uncertainty.

    Parameters
    ----------
    parts : sequence of Part, shape (n,)
        Each already in the unit of the result.

    Returns
    -------
    Combined
        Root sum of squares, degrees of freedom by Welch and Satterthwaite, and the factor.

    Raises
    ------
    ProfileTooShortError
        If there is no part.
    OutOfRangeError
        If degrees of freedom are not above zero.

    Notes
    -----
    Source: JCGM 100:2008, equation 10, equation G.2b and G.6.4.
    """
    uncertainties = [part.standard_uncertainty for part in parts]
    degrees = effective_degrees_of_freedom(
        uncertainties, [part.degrees_of_freedom for part in parts]
    )
    return Combined(combine_standard(*uncertainties), degrees, usual_coverage_factor(degrees))

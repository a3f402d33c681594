"""Another way to service a fleet: fewer services, or less taken off by each."""

from __future__ import annotations

from dataclasses import dataclass, replace

from apps.tuning.errors import require_not_negative
from apps.tuning.wear_pace import Pace


@dataclass(frozen=True, slots=True)
class Policy:
    """How a shop will service its skis, against how it does now.

    Attributes
    ----------
    removal_factor : float
        What a service takes off over what it takes now [1]: 0.8 takes a fifth less.
    services_factor : float
        Services in a season over those now [1].

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If a factor is negative or not an ordinary number.
    """

    removal_factor: float = 1.0
    services_factor: float = 1.0

    def __post_init__(self) -> None:
        require_not_negative(self.removal_factor, "removal_factor")
        require_not_negative(self.services_factor, "services_factor")


AS_NOW = Policy()


def under(policy: Policy, pace: Pace) -> Pace:
    """Pace of the services to come under a policy; what is ahead of the next one stays."""
    often = policy.services_factor
    return replace(
        pace,
        services=pace.services * often,
        variance=pace.variance * often**2,
        process=pace.process * often,
    )

"""The racing rule for sidecut radius: where to measure, what to compute, and its limit test."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from apps.tuning.errors import WrongCountError, require_positive, require_rising
from apps.tuning.sidecut import SidecutRadius, require_ski_length, sidecut_depth_mm

RADIUS_ALLOWANCE = Decimal("1.015")


@dataclass(frozen=True, slots=True)
class RacingStations:
    """Where the racing rule measures, from the tail.

    Attributes
    ----------
    shovel_at_mm, waist_at_mm, tail_at_mm : float
        Positions of the three widths [mm from the tail].
    chord_mm : float
        Length between the outer two, L of the rule [mm].
    """

    shovel_at_mm: float
    waist_at_mm: float
    tail_at_mm: float
    chord_mm: float


@dataclass(frozen=True, slots=True)
class RadiusVerdict:
    """Whether three repeated radius measurements reach a limit.

    Attributes
    ----------
    mean_m : float
        Mean of the three [m].
    allowed_m : float
        The mean with the allowance for measuring error [m].
    limit_m : float
        Least radius the rule allows [m].
    meets : bool
        True when the mean with its allowance reaches the limit.
    """

    mean_m: float
    allowed_m: float
    limit_m: float
    meets: bool


def racing_stations_mm(total_length_mm: float, tail_to_waist_mm: float) -> RacingStations:
    """Where the racing rule takes its widths.

    Parameters
    ----------
    total_length_mm : float
        Developed length of the ski, LTOT [mm].
    tail_to_waist_mm : float
        Distance of the narrowest point from the tail, LW [mm].

    Returns
    -------
    RacingStations
        Positions from the tail and the chord between the outer two.

    Raises
    ------
    NotFiniteError, OutOfRangeError, ProfileNotOrderedError
        If a length is not that of a ski, or the waist does not lie on it.

    Notes
    -----
    Source: FIS radius calculation page: 80 % of the front and 90 % of the rear length.
    """
    total = require_ski_length(total_length_mm, "total_length_mm")
    waist_at = require_ski_length(tail_to_waist_mm, "tail_to_waist_mm")
    require_rising((0.0, waist_at, total), "tail_to_waist_mm")
    front, rear = 0.8 * (total - waist_at), 0.9 * waist_at
    return RacingStations(waist_at + front, waist_at, 0.1 * waist_at, front + rear)


def radius_racing_rule_m(
    total_length_mm: float,
    tail_to_waist_mm: float,
    shovel_mm: float,
    waist_mm: float,
    tail_mm: float,
) -> SidecutRadius:
    """Sidecut radius by the racing rule.

    Parameters
    ----------
    total_length_mm, tail_to_waist_mm : float
        LTOT and LW of the rule [mm].
    shovel_mm, waist_mm, tail_mm : float
        S, W and H of the rule, widths at `racing_stations_mm` [mm]; rounded to 0.1 mm here.

    Returns
    -------
    SidecutRadius
        ``L**2 / (2000 (S + H - 2 W))``, method "racing-rule".

    Raises
    ------
    NotFiniteError, OutOfRangeError, ProfileNotOrderedError, SidecutImpossibleError
        As `racing_stations_mm` and `sidecut_depth_mm`.

    Notes
    -----
    Source: FIS radius calculation page.
    """
    chord = racing_stations_mm(total_length_mm, tail_to_waist_mm).chord_mm
    sidecut_depth_mm(shovel_mm, waist_mm, tail_mm)
    widths = (_tenths(shovel_mm), _tenths(waist_mm), _tenths(tail_mm))
    return SidecutRadius(chord**2 / (8.0 * sidecut_depth_mm(*widths)) / 1000.0, "racing-rule")


def judge_radius_limit(radii_m: Sequence[float], limit_m: float) -> RadiusVerdict:
    """Judge three repeated measurements of a radius that first came out below its limit.

    Parameters
    ----------
    radii_m : sequence of float, shape (3,)
        The three radii [m].
    limit_m : float
        Least radius allowed [m].

    Returns
    -------
    RadiusVerdict
        Mean, mean with 1.5 % allowance, and the verdict.

    Raises
    ------
    WrongCountError
        If there are not exactly three.
    NotFiniteError, OutOfRangeError
        If a radius or the limit is not a number above zero.

    Notes
    -----
    Source: FIS radius calculation page.
    """
    if len(radii_m) != 3:
        raise WrongCountError(
            f"radii_m has {len(radii_m)} values. Give the three repeated measurements.",
            field="radii_m",
        )
    limit = _decimal(require_positive(limit_m, "limit_m"))
    total = sum(_decimal(require_positive(radius, "radii_m")) for radius in radii_m)
    # Decimals, since in binary a mean that reaches the limit exactly could fall short of it.
    meets = total * RADIUS_ALLOWANCE >= limit * 3
    return RadiusVerdict(float(total / 3), float(total * RADIUS_ALLOWANCE / 3), limit_m, meets)


def meets_radius_limit(radii_m: Sequence[float], limit_m: float) -> bool:
    """Return only the verdict of `judge_radius_limit`, for radii and limit in metres.

    Raises
    ------
    WrongCountError, NotFiniteError, OutOfRangeError
        As `judge_radius_limit`.
    """
    return judge_radius_limit(radii_m, limit_m).meets


def _tenths(width_mm: float) -> float:
    # Decimal of the shortest text, since 93.05 in binary lies below 93.05 and would round down.
    return float(_decimal(width_mm).quantize(Decimal("0.1"), rounding=ROUND_HALF_UP))


def _decimal(value: float) -> Decimal:
    return Decimal(repr(float(value)))

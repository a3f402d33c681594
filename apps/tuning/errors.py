"""What the bench arithmetic refuses, each refusal by its name, and the guards that refuse it."""

import math
from collections.abc import Sequence
from itertools import pairwise


class TuningError(ValueError):
    """An input the bench arithmetic can't work with.

    Parameters
    ----------
    message : str
        A whole sentence that names the input and says how to mend it.
    field : str
        Name of the input at fault, as the called function spells it.
    """

    def __init__(self, message: str, *, field: str) -> None:
        super().__init__(message)
        self.field = field


class NotFiniteError(TuningError):
    """A number that is NaN or infinite."""


class OutOfRangeError(TuningError):
    """A number outside what can be found on a ski or given by an instrument."""


class BevelOutOfRangeError(OutOfRangeError):
    """A bevel that is negative or steeper than any edge is tuned to."""


class NotAnAngleError(TuningError):
    """A word or number that is neither a side bevel nor a side angle."""


class WrongDirectionError(TuningError):
    """A change of bevel that goes the other way than the formula asked for."""


class WrongCountError(TuningError):
    """Lists that must be equally long and are not, or a fixed count that was missed."""


class ProfileTooShortError(TuningError):
    """Too few points to say anything about a shape."""


class ProfileNotOrderedError(TuningError):
    """Positions that do not rise from each point to the next."""


class UnevenSpacingError(TuningError):
    """A trace whose points are not evenly spaced."""


class SidecutImpossibleError(TuningError):
    """Widths that describe no waisted ski, so no sidecut radius exists."""


class CircleImpossibleError(TuningError):
    """Points that lie on a straight line, so no circle fits them."""


class ToleranceImpossibleError(TuningError):
    """A tolerance with no limit at all, or with its limits crossed."""


def require_finite(value: float, field: str) -> float:
    """Return `value` when it is an ordinary number.

    Raises
    ------
    NotFiniteError
        If it is NaN or infinite.
    """
    if not math.isfinite(value):
        raise NotFiniteError(f"{field} is {value}. Give an ordinary number.", field=field)
    return value


def require_positive(value: float, field: str, most: float = math.inf) -> float:
    """Return `value` when it is above zero and not above `most`.

    Raises
    ------
    NotFiniteError
        If it is NaN or infinite.
    OutOfRangeError
        If it is zero, negative or above `most`.
    """
    require_not_negative(value, field, most)
    if value == 0:
        raise OutOfRangeError(f"{field} is zero. Give a value above zero.", field=field)
    return value


def require_not_negative(value: float, field: str, most: float = math.inf) -> float:
    """Return `value` when it is zero or above and not above `most`.

    Raises
    ------
    NotFiniteError
        If it is NaN or infinite.
    OutOfRangeError
        If it is negative or above `most`.
    """
    require_finite(value, field)
    if value < 0:
        raise OutOfRangeError(f"{field} is {value:g}. Give zero or a value above it.", field=field)
    if value > most:
        raise OutOfRangeError(
            f"{field} is {value:g}, and {most:g} is the most it can be. Check its unit.",
            field=field,
        )
    return value


def require_same_length(
    first: Sequence[object], second: Sequence[object], first_field: str, second_field: str
) -> None:
    """Refuse two lists that do not pair up.

    Raises
    ------
    WrongCountError
        If one list is longer than the other.
    """
    if len(first) != len(second):
        raise WrongCountError(
            f"{second_field} has {len(second)} values and {first_field} has {len(first)}. "
            "Give one for each point.",
            field=second_field,
        )


def require_points(values: Sequence[object], field: str, least: int) -> None:
    """Refuse a list with fewer than `least` values.

    Raises
    ------
    ProfileTooShortError
        If the list is shorter.
    """
    if len(values) < least:
        raise ProfileTooShortError(
            f"{field} has {len(values)} points and at least {least} are needed. Measure more.",
            field=field,
        )


def require_rising(values: Sequence[float], field: str) -> None:
    """Refuse positions that do not rise from each to the next.

    Raises
    ------
    ProfileNotOrderedError
        If a position is equal to or below the one before it.
    """
    for before, after in pairwise(values):
        if after <= before:
            raise ProfileNotOrderedError(
                f"{field} goes from {before:g} to {after:g}. "
                "Give each position once, in rising order.",
                field=field,
            )

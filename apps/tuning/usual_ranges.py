"""Which bevels are usual by use: common practice with no source, and marked so wherever shown."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

STRAIGHT_BEFORE = 1995
"""Model years before this are mostly straight skis; practice."""

UsualKind = Literal[
    "recreational", "giant_slalom_racing", "slalom_racing", "rental", "park", "older_straight"
]


@dataclass(frozen=True, slots=True)
class UsualRange:
    """Bevels that benches usually set on one kind of ski.

    Attributes
    ----------
    kind : str
        Name of the row.
    uses : tuple of str
        Uses of the ski that it is for.
    base_low_deg, base_high_deg : float
        Base bevel [deg].
    side_low_deg, side_high_deg : float or None
        Side bevel [deg]; None where practice names none.
    sentence : str
        For a person.
    basis : {"practice"}
        What it rests on: no source, no reading.
    """

    kind: UsualKind
    uses: tuple[str, ...]
    base_low_deg: float
    base_high_deg: float
    side_low_deg: float | None
    side_high_deg: float | None
    sentence: str
    basis: Literal["practice"] = "practice"


USUAL_RANGES = (
    UsualRange(
        "recreational", ("piste", "all_mountain"), 0.5, 1.5, 1.0, 2.0, "Usual for leisure skiing."
    ),
    UsualRange("giant_slalom_racing", ("race_giant",), 0.5, 1.0, 1.0, 3.0, "Usual in club racing."),
    UsualRange(
        "slalom_racing",
        ("race_slalom",),
        0.3,
        1.0,
        1.0,
        3.0,
        "Usual in club racing from 0.5 on the base; below that only in elite slalom.",
    ),
    UsualRange("rental", ("rental",), 1.0, 1.0, 1.0, 2.0, "Usual for hire."),
    UsualRange(
        "park", ("park",), 2.0, 3.0, None, None, "Usual at the contact areas; elsewhere less."
    ),
    UsualRange("older_straight", (), 0.0, 1.0, 0.0, 1.0, "Usual on older straight skis."),
)


def usual_ranges(use: str | None, model_year: int | None) -> tuple[UsualRange, ...]:
    """Usual bevels of a ski by what is known of it.

    Parameters
    ----------
    use : str or None
        What the ski is used for; None when nobody said.
    model_year : int or None
        Year of the model [a].

    Returns
    -------
    tuple of UsualRange
        The row of older straight skis for such a year, else those of the use, else all; empty
        for a use of which no practice is known.

    Notes
    -----
    Source: common practice, no source.
    """
    if model_year is not None and model_year < STRAIGHT_BEFORE:
        return tuple(row for row in USUAL_RANGES if row.kind == "older_straight")
    if use is None:
        return USUAL_RANGES
    return tuple(row for row in USUAL_RANGES if use in row.uses)

"""Where on a ski a mark belongs: along it, which side of it, and on which of its two faces."""

from __future__ import annotations

from typing import Literal

from apps.tuning.history import Place

Seen = Literal["above", "below", "either"]

SIDE_OF = {"left_side": "left", "right_side": "right"}
INSIDE = 0.5
"""A damage of the base or the topsheet near an edge lies halfway to it: practice."""


def seen_from(place: Place) -> Seen:
    """From where a place is seen; "either" where the record doesn't say which face it is on.

    An edge and a side face are seen from both sides. An edge is worked with the base up, so it
    is drawn from below; a side face belongs to the body of the ski and is drawn from above.
    """
    if place.surface in {"top", *SIDE_OF}:
        return "above"
    if place.surface == "base" or place.edge is not None:
        return "below"
    return "either"


def across(place: Place) -> float:
    """How far to the right of the middle, seen from above: -1 is the left edge, 1 the right."""
    side = SIDE_OF.get(place.surface or "", place.edge)
    if side is None:
        return 0.0
    reach = INSIDE if place.surface in {"base", "top"} else 1.0
    return -reach if side == "left" else reach

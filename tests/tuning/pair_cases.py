"""Invented pairs for the tests: two skis, each of one visit with what the test needs."""

from apps.tuning.condition import fold
from apps.tuning.history import EDGES, BevelStatement, Edge, Reading, Step
from apps.tuning.pairs_compare import PairedSki
from apps.tuning.pairs_difference import PairDifference, PairQuantity, PairValue, Togetherness
from apps.tuning.practice import Practice
from tests.tuning.visits import TODAY, base, height, side, visit

PRACTICE = Practice()


def bevels(base_deg: float, side_deg: float, edge: Edge) -> tuple[BevelStatement, ...]:
    return base(base_deg, edge=edge, facet=2.0), side(side_deg, edge=edge)


def both(base_deg: float, side_deg: float) -> tuple[BevelStatement, ...]:
    return tuple(one for edge in EDGES for one in bevels(base_deg, side_deg, edge))


def steel(height_mm: float = 1.7, width_mm: float = 2.0) -> tuple[Reading, ...]:
    return tuple(
        one
        for edge in EDGES
        for one in (height(height_mm, edge), height(width_mm, edge, quantity="edge_width"))
    )


def ski(
    name: str,
    *,
    bevels: tuple[BevelStatement, ...] = (),
    readings: tuple[Reading, ...] = (),
    later: tuple[Step, ...] = (),
    days: int | None = None,
    radii: tuple[PairValue, ...] = (),
    length: PairValue | None = None,
    practice: Practice = PRACTICE,
) -> PairedSki:
    """A ski whose records are named after it."""
    visits = [visit(0, record=f"{name}0", kind="measurement", readings=readings, bevels=bevels)]
    if later:
        visits.append(visit(1, record=f"{name}1", steps=later))
    if days is not None:
        visits.append(visit(2, record=f"{name}2", kind="usage", usage_days=days))
    return PairedSki(name, fold(visits, practice=practice, today=TODAY), radii, length)


def outcomes(differences: tuple[PairDifference, ...], quantity: PairQuantity) -> list[Togetherness]:
    return [one.outcome for one in differences if one.quantity == quantity]


def only(differences: tuple[PairDifference, ...], quantity: PairQuantity) -> PairDifference:
    """The first one of a quantity: of the left edge where there are two."""
    return next(one for one in differences if one.quantity == quantity)

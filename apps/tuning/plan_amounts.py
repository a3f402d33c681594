"""Values and amounts between two limits, as a plan adds and compares them.

The limits of an amount are combined at their worst, because what makes one step take much (a
coarse stone, a heavy hand) makes the next one take much too. Only a reading and an amount, which
have nothing to do with each other, are combined by root sum of squares.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import reduce
from types import MappingProxyType
from typing import Generic, Literal, TypeVar

from apps.tuning.errors import OutOfRangeError, require_finite
from apps.tuning.history import Edge, MaterialQuantity
from apps.tuning.practice import Amount, Practice, Removal
from apps.tuning.rates import LearnedRate
from apps.tuning.told import Figure

T = TypeVar("T")

TakenBasis = Literal["geometry", "readings", "stated", "practice"]
"""What an amount rests on, the firmest first; "stated" came with the request."""

_WEAKNESS: dict[TakenBasis, int] = {"geometry": 0, "readings": 1, "stated": 2, "practice": 3}


@dataclass(frozen=True, slots=True)
class Bounded:
    """A value between the limits within which it surely lies, in the unit its holder names.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If a number is not finite or the three are out of order.
    """

    value: float
    low: float
    high: float

    def __post_init__(self) -> None:
        for name in ("value", "low", "high"):
            require_finite(getattr(self, name), name)
        if not self.low <= self.value <= self.high:
            raise OutOfRangeError("A value needs low <= value <= high.", field="value")

    @classmethod
    def reading(cls, value: float, expanded_uncertainty: float = 0.0) -> Bounded:
        """Value of zero or more with its expanded uncertainty (k = 2); no limit goes below 0."""
        low = max(0.0, value - expanded_uncertainty)
        return cls(value, low, value + expanded_uncertainty)

    @classmethod
    def around(cls, low: float, value: float, high: float) -> Bounded:
        """The same with limits that may have changed sides."""
        return cls(value, min(low, value, high), max(low, value, high))

    def less(self, taken: Taken) -> Bounded:
        """What is left when `taken` goes off.

        Notes
        -----
        Source: JCGM 100:2008, 5.1.2, for each side by itself as the limits may be uneven.
        """
        left = self.value - taken.usual_mm
        below = math.hypot(self.value - self.low, taken.high_mm - taken.usual_mm)
        above = math.hypot(self.high - self.value, taken.usual_mm - taken.low_mm)
        return Bounded(left, left - below, left + above)


@dataclass(frozen=True, slots=True)
class Taken:
    """Material that a step takes off [mm]: the usual amount between two limits, and its basis.

    Raises
    ------
    OutOfRangeError
        If the three are negative or out of order.
    """

    low_mm: float
    usual_mm: float
    high_mm: float
    basis: TakenBasis

    def __post_init__(self) -> None:
        if not 0.0 <= self.low_mm <= self.usual_mm <= self.high_mm:
            raise OutOfRangeError(
                "An amount needs 0 <= low_mm <= usual_mm <= high_mm.", field="usual_mm"
            )

    @property
    def possible(self) -> bool:
        """Whether it may take anything at all."""
        return self.high_mm > 0.0

    def plus(self, other: Taken) -> Taken:
        """Both, one after the other."""
        return Taken(
            self.low_mm + other.low_mm,
            self.usual_mm + other.usual_mm,
            self.high_mm + other.high_mm,
            _weaker(self, other),
        )

    def larger(self, other: Taken) -> Taken:
        """The larger of two amounts that one and the same pass serves."""
        low = max(self.low_mm, other.low_mm)
        usual = max(self.usual_mm, other.usual_mm)
        high = max(self.high_mm, other.high_mm)
        found = (low, usual, high)
        for one in (self, other):
            if found == (one.low_mm, one.usual_mm, one.high_mm):
                return one
        return Taken(low, usual, high, _weaker(self, other))


NOTHING_TAKEN = Taken(0.0, 0.0, 0.0, "geometry")


def _weaker(first: Taken, second: Taken) -> TakenBasis:
    parts = [taken.basis for taken in (first, second) if taken.possible]
    return max(parts, key=_WEAKNESS.__getitem__, default="geometry")


def largest(amounts: Iterable[Taken]) -> Taken:
    """The largest of several amounts that one and the same pass serves."""
    return reduce(Taken.larger, amounts, NOTHING_TAKEN)


@dataclass(frozen=True, slots=True)
class PerEdge(Generic[T]):
    """One thing for each edge, as seen from above with the tip forward."""

    left: T
    right: T

    def of(self, edge: Edge) -> T:
        """The one of `edge`."""
        return self.left if edge == "left" else self.right


NOTHING_PER_EDGE = PerEdge(NOTHING_TAKEN, NOTHING_TAKEN)


def on_edges(taken: Taken, edges: Iterable[Edge]) -> PerEdge[Taken]:
    """The same amount off each of `edges` and nothing off the other."""
    named = set(edges)
    left = taken if "left" in named else NOTHING_TAKEN
    return PerEdge(left, taken if "right" in named else NOTHING_TAKEN)


@dataclass(frozen=True, slots=True)
class Spent:
    """What a step or a plan takes off each budget of material [mm]."""

    edge_height_mm: PerEdge[Taken] = NOTHING_PER_EDGE
    edge_width_mm: PerEdge[Taken] = NOTHING_PER_EDGE
    base_mm: Taken = NOTHING_TAKEN

    def plus(self, other: Spent) -> Spent:
        """Both together."""
        return Spent(
            _add(self.edge_height_mm, other.edge_height_mm),
            _add(self.edge_width_mm, other.edge_width_mm),
            self.base_mm.plus(other.base_mm),
        )

    def of(self, budget: Budget) -> Taken:
        """What goes off one budget."""
        if budget.edge is None:
            return self.base_mm
        edges = self.edge_height_mm if budget.quantity == "edge_height" else self.edge_width_mm
        return edges.of(budget.edge)


def _add(first: PerEdge[Taken], second: PerEdge[Taken]) -> PerEdge[Taken]:
    return PerEdge(first.left.plus(second.left), first.right.plus(second.right))


NOTHING_SPENT = Spent()


@dataclass(frozen=True, slots=True)
class Budget:
    """Material of which there is only so much; the base has no edge of its own."""

    quantity: MaterialQuantity
    edge: Edge | None = None

    @property
    def words(self) -> str:
        """How a person calls it."""
        if self.edge is None:
            return "base thickness"
        return f"{self.quantity.replace('_', ' ')} of the {self.edge} edge"

    @property
    def figures(self) -> dict[str, Figure]:
        """The same for whoever tells it in another language."""
        return {"material": self.quantity, "edge": self.edge}


BUDGETS: tuple[Budget, ...] = (
    Budget("edge_height", "left"),
    Budget("edge_height", "right"),
    Budget("edge_width", "left"),
    Budget("edge_width", "right"),
    Budget("base_thickness"),
)


NO_REMOVALS: Mapping[str, Removal] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Rates:
    """What one run of an operation takes: as stated, else by readings, else by practice.

    Attributes
    ----------
    practice : Practice
        The shop's settings.
    learned : tuple of LearnedRate
        From the shop's own readings; those that fell back to practice are passed over.
    stated : mapping of operation to Removal
        Amounts that came with the request.
    """

    practice: Practice
    learned: tuple[LearnedRate, ...] = ()
    stated: Mapping[str, Removal] = field(default_factory=lambda: NO_REMOVALS)

    def taken(self, operation: str, quantity: MaterialQuantity) -> Taken:
        """What one run of `operation` takes off `quantity`; nothing for one that is not listed."""
        amount, basis = self._amount(operation, quantity)
        if amount.high_mm == 0.0:
            return NOTHING_TAKEN
        return Taken(amount.low_mm, amount.usual_mm, amount.high_mm, basis)

    def spent(self, operation: str, edges: Iterable[Edge]) -> Spent:
        """What one run of `operation` takes off the named edges and the base."""
        named = tuple(edges)
        return Spent(
            on_edges(self.taken(operation, "edge_height"), named),
            on_edges(self.taken(operation, "edge_width"), named),
            self.taken(operation, "base_thickness"),
        )

    def _amount(self, operation: str, quantity: MaterialQuantity) -> tuple[Amount, TakenBasis]:
        if operation in self.stated:
            return self.stated[operation].of(quantity), "stated"
        for rate in self.learned:
            key = (rate.operation, rate.quantity, rate.basis)
            if key == (operation, quantity, "readings"):
                return rate.amount, "readings"
        return self.practice.removal(operation).of(quantity), "practice"

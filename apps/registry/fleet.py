"""A shop's fleet as a list: selected, in any order, a page at a time, always one indexed query."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from django.db.models import Case, F, IntegerField, Q, Value, When
from django.db.models.expressions import Combinable, OrderBy

from apps.registry.models import Condition
from apps.registry.querysets import ConditionQuerySet

Row = tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class Order:
    """By what a fleet is sorted; ties stand in the order of the skis' keys, the same way round.

    Parameters
    ----------
    column : str
        Column of `Condition`; `ski` sorts by the key itself.
    descending : bool
        From the greatest to the least.
    ranks : mapping of str to int
        For a column of words, the rank of each; empty where the values themselves sort.
    """

    column: str
    descending: bool = False
    ranks: Mapping[str, int] = field(default_factory=dict)

    @property
    def may_be_unknown(self) -> bool:
        """Whether a ski may have no value here; those stand last, whichever way it is sorted."""
        return bool(Condition._meta.get_field(self.column).null)

    @property
    def value(self) -> F | Case:
        """What is sorted by."""
        if not self.ranks:
            return F(self.column)
        cases = [When(**{self.column: word}, then=Value(n)) for word, n in self.ranks.items()]
        return Case(*cases, default=Value(len(self.ranks)), output_field=IntegerField())

    def by(self, *names: str) -> list[str]:
        """Give the names as `order_by` takes them."""
        return [f"-{name}" if self.descending else name for name in names]


@dataclass(frozen=True, slots=True)
class Place:
    """Where a page begins: after the ski of this key, which has this value; None is unknown."""

    value: int | str | None
    ski: str


@dataclass(frozen=True, slots=True)
class Bound:
    """An end of a range in one column; a ski whose value is unknown is in none."""

    column: str
    how: Literal["lt", "lte", "gt", "gte"]
    value: int | str


@dataclass(frozen=True, slots=True)
class Selection:
    """Which skis of a fleet are asked for.

    Parameters
    ----------
    words : mapping of str to tuple of str
        For columns of words, which of them.
    bounds : tuple of Bound
        For columns of numbers and days.
    tag_prefix : str
        How the tag begins; "" for any.
    """

    words: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    bounds: tuple[Bound, ...] = ()
    tag_prefix: str = ""

    def of(self, handle: str) -> ConditionQuerySet:
        """The skis of a shop that are asked for."""
        fleet = Condition.objects.fleet_of(handle)
        for column, words in self.words.items():
            fleet = fleet.filter(**{f"{column}__in": words})
        for bound in self.bounds:
            fleet = fleet.filter(**{f"{bound.column}__{bound.how}": bound.value})
        if self.tag_prefix:
            fleet = fleet.filter(ski__key__startswith=f"{handle}/{self.tag_prefix}")
        return fleet


def fleet_rows(
    skis: ConditionQuerySet,
    order: Order,
    columns: Sequence[str | Combinable],
    *,
    after: Place | None = None,
    size: int | None = None,
) -> Iterator[Row]:
    """Read the skis in order: one query, no model made for a row.

    Parameters
    ----------
    skis : ConditionQuerySet
        Which.
    order : Order
    columns : sequence of str or expression
        What a row holds after the value that it is sorted by and the ski's key.
    after : Place, optional
        The ski after which to begin.
    size : int, optional
        How many at most; all when left out.

    Yields
    ------
    tuple
        The value it is sorted by, the key, and the columns.
    """
    rows = fleet_query(skis, order, columns, after=after, size=size)
    width = len(columns) + 2
    yield from (row[:width] for row in (rows.iterator() if size is None else rows))


def fleet_query(
    skis: ConditionQuerySet,
    order: Order,
    columns: Sequence[str | Combinable],
    *,
    after: Place | None = None,
    size: int | None = None,
) -> Any:
    """Make the query of `fleet_rows`.

    Notes
    -----
    Neither database sorts unknown values last in both directions by an index. So a page of a
    column that may be unknown is two lists of one query, each taken from the index in its order:
    the skis with a value, then those without.
    """
    if size is None:
        return _valued(_all_of(skis, order, after), columns)
    if not order.may_be_unknown:
        return _valued(_first(_placed(skis, order, after), size, order, "sorted_by"), columns)
    if after is not None and after.value is None:
        unknown = skis.filter(_beyond("ski", after.ski, order), **{order.column: None})
        found = unknown.annotate(sorted_by=order.value)
        return _valued(_first(found, size, order), columns)
    return _known_then_unknown(skis, order, columns, after, size)


def _all_of(skis: ConditionQuerySet, order: Order, after: Place | None) -> ConditionQuerySet:
    found, last = skis.annotate(sorted_by=order.value), {}
    if order.may_be_unknown:
        last = {"nulls_last": True}
    if after is not None:
        found = found.filter(_rest(order, after))
    first = OrderBy(F("sorted_by"), descending=order.descending, **last)
    return found.order_by(first, *order.by("ski"))


def _rest(order: Order, after: Place) -> Q:
    unknown, behind = Q(sorted_by=None), _beyond("ski", after.ski, order)
    if after.value is None:
        return unknown & behind
    return unknown | _beyond("sorted_by", after.value, order) | Q(sorted_by=after.value) & behind


def _known_then_unknown(
    skis: ConditionQuerySet,
    order: Order,
    columns: Sequence[str | Combinable],
    after: Place | None,
    size: int,
) -> Any:
    known = skis.filter(**{f"{order.column}__isnull": False})
    parts = (
        _first(_placed(known, order, after), size, order, "sorted_by"),
        _first(skis.filter(**{order.column: None}), size, order),
    )
    first, second = (
        _valued(
            Condition.objects.filter(ski__in=part.values("ski")).annotate(
                is_unknown=Value(number, output_field=IntegerField()), sorted_by=order.value
            ),
            [*columns, "is_unknown"],
        )
        for number, part in enumerate(parts)
    )
    both = first.union(second, all=True)
    return both.order_by("is_unknown", *order.by("sorted_by", "ski"))[:size]


def _valued(skis: ConditionQuerySet, columns: Iterable[str | Combinable]) -> Any:
    return skis.values_list("sorted_by", "ski", *columns)


def _first(skis: ConditionQuerySet, size: int, order: Order, *names: str) -> ConditionQuerySet:
    return skis.order_by(*order.by(*names, "ski"))[:size]


def _placed(skis: ConditionQuerySet, order: Order, after: Place | None) -> ConditionQuerySet:
    found = skis.annotate(sorted_by=order.value)
    if after is None:
        return found
    # The first half alone lets the database begin in the index at the right place.
    reached = Q(**{f"sorted_by__{'lte' if order.descending else 'gte'}": after.value})
    beyond = _beyond("sorted_by", after.value, order) | _beyond("ski", after.ski, order)
    return found.filter(reached & beyond)


def _beyond(name: str, value: object, order: Order) -> Q:
    return Q(**{f"{name}__{'lt' if order.descending else 'gt'}": value})

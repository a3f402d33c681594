"""One table of the kinds that have their own address; one more kind is one more row."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from apps.api.openapi_texts import JOBS, RECORDS


@dataclass(frozen=True, slots=True)
class KindRoute:
    """How one kind of record is spoken of and addressed.

    Parameters
    ----------
    kind : str
        The kind of the schema.
    segment : str
        Part of the address.
    one, many : str
        How sentences of the contract speak of it.
    tag : str
        Part of the contract it stands in.
    note : str
        What a reader of the contract should know before writing one.
    """

    kind: str
    segment: str
    one: str
    many: str
    tag: str
    note: str

    @property
    def name(self) -> str:
        """The kind as part of an operation's name."""
        return self.kind.replace("-", "_")


_ROUTES = (
    KindRoute(
        "description",
        "descriptions",
        "a description",
        "descriptions",
        RECORDS,
        "Says more of a ski that is registered already; `POST /skis` registers one. What a later "
        "description says counts instead of the same field of an earlier one.",
    ),
    KindRoute(
        "job",
        "jobs",
        "a job",
        "jobs",
        JOBS,
        "One visit to the bench: findings, steps in order, measurements before and after, and "
        "bevel settings. Any shop that holds the tag may write one under its own name.",
    ),
    KindRoute(
        "measurement",
        "measurements",
        "a measurement",
        "measurements",
        RECORDS,
        "A measurement by itself; those of a visit belong into its job.",
    ),
    KindRoute(
        "bevel-setting",
        "bevel-settings",
        "a bevel setting",
        "bevel settings",
        RECORDS,
        "Bevels by themselves: set, measured, or specified by the maker. The side may be sent as "
        "`side_bevel_deg` 2 or as `side_angle_deg` 88; the record holds the bevel.",
    ),
    KindRoute(
        "usage",
        "usage",
        "a usage record",
        "usage records",
        RECORDS,
        "Days out since the usage record before; only by the tag's own shop.",
    ),
    KindRoute(
        "status",
        "statuses",
        "a change of status",
        "changes of status",
        RECORDS,
        "Where the ski stands from this time on; only by the tag's own shop.",
    ),
    KindRoute(
        "pair",
        "pairs",
        "a pair",
        "pairs",
        RECORDS,
        "Two tags that are used together; only by the tag's own shop.",
    ),
)

ROUTES: Mapping[str, KindRoute] = MappingProxyType({route.kind: route for route in _ROUTES})

"""What the arithmetic reads: a ski's effective records as plain visits in time order.

The registry turns stored records into these; nothing here knows how they were stored.
Lengths are in mm, angles in degrees from square, left and right as seen from above with the
tip forward, positions along the ski in mm from the tail. An absent value is ``None``: it was
not stated, which is not the same as zero.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

Edge = Literal["left", "right"]
EDGES: tuple[Edge, Edge] = ("left", "right")
Moment = Literal["before", "after"]
Basis = Literal["set", "measured", "specified"]
MaterialQuantity = Literal["edge_height", "edge_width", "base_thickness"]
Severity = Literal["slight", "moderate", "severe"]

# A date without a time counts as noon UTC, so that a dated reading and a timed one can be ordered.
NOON = "T12:00:00Z"


@dataclass(frozen=True, slots=True)
class Place:
    """Where on the ski; whatever is ``None`` was not narrowed down."""

    edge: Edge | None = None
    surface: str | None = None
    station: str | None = None
    position_mm: int | None = None
    length_mm: int | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading of material left: ``value_mm`` with expanded uncertainty (k = 2) in mm."""

    quantity: MaterialQuantity
    value_mm: float
    place: Place = Place()
    uncertainty_mm: float | None = None
    instrument: str | None = None
    moment: Moment | None = None


@dataclass(frozen=True, slots=True)
class BaseProfile:
    """True-bar gaps across the base at one place: ``x_mm`` from the left edge, ``gap_um`` each.

    ``uncertainty_um`` is the expanded uncertainty (k = 2) of one gap.
    """

    x_mm: tuple[float, ...]
    gap_um: tuple[float, ...]
    place: Place = Place()
    moment: Moment | None = None
    uncertainty_um: float | None = None


@dataclass(frozen=True, slots=True)
class TextureTrace:
    """Heights at one spacing along a line over the base.

    ``uncertainty_um`` is the expanded uncertainty (k = 2) of one height, ``standard`` what the
    record says it follows.
    """

    spacing_um: float
    height_um: tuple[float, ...]
    place: Place = Place()
    moment: Moment | None = None
    uncertainty_um: float | None = None
    standard: str | None = None


@dataclass(frozen=True, slots=True)
class GrooveStatement:
    """Width of the centre groove as a description states or a bench measured it; 0 for none."""

    width_mm: float
    measured: bool


@dataclass(frozen=True, slots=True)
class Target:
    """What a job was to reach; bevels hold for both edges."""

    base_bevel_deg: float | None = None
    side_bevel_deg: float | None = None
    flatness_tolerance_mm: float | None = None


@dataclass(frozen=True, slots=True)
class BevelStatement:
    """What a record says of one edge ("both" arrives here as two statements)."""

    edge: Edge
    basis: Basis
    base_bevel_deg: float | None = None
    side_bevel_deg: float | None = None
    facet_width_mm: float | None = None
    station_from_mm: int | None = None
    station_to_mm: int | None = None
    uncertainty_deg: float | None = None
    instrument: str | None = None
    moment: Moment | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """One operation of a visit; ``edges`` names the edges it worked (both where not narrowed)."""

    operation: str
    edges: tuple[Edge, ...] = EDGES
    place: Place = Place()
    passes: int | None = None
    base_removed_mm: float | None = None
    edge_height_removed_mm: float | None = None
    edge_width_removed_mm: float | None = None


@dataclass(frozen=True, slots=True)
class FindingKey:
    """A finding is named by the record that holds it and its place in that record's list."""

    record: str
    index: int


@dataclass(frozen=True, slots=True)
class Finding:
    """Damage or wear that a bench saw; ``closes`` names the earlier finding that it settles."""

    key: FindingKey
    what: str
    severity: Severity
    open: bool
    place: Place = Place()
    depth_mm: float | None = None
    width_mm: float | None = None
    closes: FindingKey | None = None


@dataclass(frozen=True, slots=True)
class Visit:
    """One effective record of a ski, of any kind, with whatever it states.

    ``day`` and ``local_time`` (``hh:mm:ss``) are the bench's calendar and clock. ``instant`` is
    the same moment in UTC (``2025-01-31T22:30:00Z``); both times are ``None`` for a date alone.
    ``entered`` is the place of the record in the log: what one author stated later has the
    greater one on every node. ``corrections`` counts the corrections of the record that stand.
    """

    record: str
    kind: str
    author: str
    day: date
    local_time: str | None = None
    instant: str | None = None
    findings: tuple[Finding, ...] = ()
    steps: tuple[Step, ...] = ()
    readings: tuple[Reading, ...] = ()
    profiles: tuple[BaseProfile, ...] = ()
    traces: tuple[TextureTrace, ...] = ()
    bevels: tuple[BevelStatement, ...] = ()
    target: Target | None = None
    centre_groove: GrooveStatement | None = None
    usage_days: int | None = None
    status: str | None = None
    corrections: int = 0
    entered: int = 0
    fingerprint: str = field(default="", repr=False)
    """Digest of what the record states without its salt: equal for a double entry."""


# On one day without times a description comes first, what was measured before the work next,
# then the work, then what was set or measured after it, use, and status last.
_RANK = {"description": 0, "job": 2, "measurement": 3, "bevel-setting": 4, "usage": 5, "status": 6}


def _rank(visit: Visit) -> int:
    moments = [
        *(one.moment for one in visit.readings),
        *(one.moment for one in visit.bevels),
        *(one.moment for one in visit.profiles),
        *(one.moment for one in visit.traces),
    ]
    before = "before" in moments
    return 1 if before and visit.kind != "job" else _RANK.get(visit.kind, 7)


def instant_of(visit: Visit) -> str:
    """The moment of a visit in UTC as text that sorts; noon of its day for a date alone."""
    return visit.instant or f"{visit.day.isoformat()}{NOON}"


def time_key(visit: Visit) -> tuple[str, int, str, int, str]:
    """Key that orders visits, whatever order the records of different authors arrived in.

    By the moment in UTC, then by kind, then what one author stated in the order it was entered.
    Between authors the handle decides: fixed, and no more than that.
    """
    return (instant_of(visit), _rank(visit), visit.author, visit.entered, visit.record)


def in_order(visits: Iterable[Visit]) -> tuple[Visit, ...]:
    """Visits sorted by :func:`time_key`; any arrival order gives the same tuple."""
    return tuple(sorted(visits, key=time_key))

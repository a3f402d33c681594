"""Invented visits for the tests of the folded condition, each with only what the test needs."""

from datetime import date, timedelta

from apps.tuning.history import (
    BaseProfile,
    Basis,
    BevelStatement,
    Edge,
    Finding,
    FindingKey,
    MaterialQuantity,
    Moment,
    Place,
    Reading,
    Step,
    Visit,
)

FIRST_DAY = date(2024, 1, 1)
TODAY = date(2026, 1, 1)


def day(number: int) -> date:
    return FIRST_DAY + timedelta(days=number)


def visit(
    number: int,
    *,
    record: str | None = None,
    kind: str = "job",
    author: str = "bench@hill.example",
    steps: tuple[Step, ...] = (),
    readings: tuple[Reading, ...] = (),
    bevels: tuple[BevelStatement, ...] = (),
    profiles: tuple[BaseProfile, ...] = (),
    findings: tuple[Finding, ...] = (),
    local_time: str | None = None,
    usage_days: int | None = None,
    status: str | None = None,
    corrections: int = 0,
    entered: int = 0,
    fingerprint: str = "",
) -> Visit:
    """A record of day `number`, named after it unless a name is given."""
    return Visit(
        record or f"r{number:03d}",
        kind,
        author,
        day(number),
        local_time=local_time,
        instant=None if local_time is None else f"{day(number)}T{local_time}Z",
        findings=findings,
        steps=steps,
        readings=readings,
        profiles=profiles,
        bevels=bevels,
        usage_days=usage_days,
        status=status,
        corrections=corrections,
        entered=entered,
        fingerprint=fingerprint,
    )


def height(
    value_mm: float,
    edge: Edge | None = "left",
    *,
    u: float | None = 0.02,
    station: str | None = None,
    position_mm: int | None = None,
    moment: Moment | None = None,
    instrument: str | None = None,
    quantity: MaterialQuantity = "edge_height",
) -> Reading:
    """A reading with expanded uncertainty `u`."""
    place = Place(edge=edge, station=station, position_mm=position_mm)
    return Reading(quantity, value_mm, place, u, instrument, moment)


def thickness(value_mm: float, *, u: float | None = 0.02, moment: Moment | None = None) -> Reading:
    return height(value_mm, None, u=u, moment=moment, quantity="base_thickness")


def base(
    bevel_deg: float,
    *,
    edge: Edge = "left",
    basis: Basis = "set",
    facet: float | None = None,
    u: float | None = 0.1,
    moment: Moment | None = None,
    span: tuple[int, int] | None = None,
) -> BevelStatement:
    first, last = span or (None, None)
    return BevelStatement(
        edge,
        basis,
        base_bevel_deg=bevel_deg,
        facet_width_mm=facet,
        station_from_mm=first,
        station_to_mm=last,
        uncertainty_deg=u,
        moment=moment,
    )


def side(
    bevel_deg: float,
    *,
    edge: Edge = "left",
    basis: Basis = "set",
    u: float | None = 0.1,
    moment: Moment | None = None,
) -> BevelStatement:
    return BevelStatement(edge, basis, side_bevel_deg=bevel_deg, uncertainty_deg=u, moment=moment)


def grind(depth_mm: float | None = None, place: Place | None = None) -> Step:
    return Step("stone_grind", place=place or Place(), edge_height_removed_mm=depth_mm)


def finding(
    record: str,
    index: int = 0,
    *,
    what: str = "core_shot",
    opened: bool = True,
    closes: FindingKey | None = None,
) -> Finding:
    return Finding(FindingKey(record, index), what, "severe", opened, closes=closes)

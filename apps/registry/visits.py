"""From what is in effect of a record to the plain visit that the arithmetic reads."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType

from apps.records import envelope, folding
from apps.records.bevel_setting import BevelSettingBody
from apps.records.description import DescriptionBody
from apps.records.finding import Finding
from apps.records.job import JobBody, Target
from apps.records.keeping import StatusBody, UsageBody
from apps.records.measurement import GapPoint, MeasurementBody
from apps.records.model import RecordModel
from apps.records.moments import PerformedAt
from apps.records.place import Place
from apps.records.quantities import Quantity
from apps.records.reading import document_of
from apps.records.step import Step
from apps.tuning import history

MATERIAL: Mapping[str, history.MaterialQuantity] = MappingProxyType(
    {
        "edge_height_mm": "edge_height",
        "edge_width_mm": "edge_width",
        "base_thickness_mm": "base_thickness",
    }
)
EDGES: Mapping[str, tuple[history.Edge, ...]] = MappingProxyType(
    {"left": ("left",), "right": ("right",), "both": history.EDGES}
)
MOMENTS: Mapping[str, history.Moment] = MappingProxyType({"before": "before", "after": "after"})


@dataclass(frozen=True, slots=True)
class Parts:
    """What a body holds, whether it is a job or one of its parts by itself."""

    findings: tuple[Finding, ...] = ()
    steps: tuple[Step, ...] = ()
    measurements: tuple[MeasurementBody, ...] = ()
    bevels: tuple[BevelSettingBody, ...] = ()


def parts_of(body: RecordModel) -> Parts:
    """Give the findings, steps, measurements and bevels that a body holds."""
    if isinstance(body, JobBody):
        return Parts(body.findings, body.steps, body.measurements, body.bevel_settings)
    if isinstance(body, MeasurementBody):
        return Parts(measurements=(body,))
    if isinstance(body, BevelSettingBody):
        return Parts(bevels=(body,))
    return Parts()


def visits_of(effective: Iterable[folding.Folded]) -> tuple[history.Visit, ...]:
    """Give the visits of records that are in effect, in the order of time."""
    return history.in_order(visit_of(folded) for folded in effective)


def visit_of(folded: folding.Folded) -> history.Visit:
    """Give the visit that one record states, as corrected."""
    content, record = folded.content, folded.record
    parts = parts_of(content.body)
    return history.Visit(
        record=folded.record_id,
        kind=content.kind,
        author=record.author,
        day=content.performed_at.day,
        local_time=local_time(content.performed_at),
        instant=instant(content.performed_at),
        findings=tuple(_findings(folded.record_id, parts.findings)),
        steps=tuple(_step(step) for step in parts.steps),
        readings=tuple(_readings(parts.measurements)),
        profiles=tuple(_profiles(parts.measurements)),
        traces=tuple(_traces(parts.measurements)),
        bevels=tuple(_statements(parts.bevels)),
        target=_target(content.body.target) if isinstance(content.body, JobBody) else None,
        centre_groove=_centre_groove(content.body, parts.measurements),
        usage_days=content.body.days if isinstance(content.body, UsageBody) else None,
        status=str(content.body.status) if isinstance(content.body, StatusBody) else None,
        corrections=len(folded.corrections),
        entered=folded.entered,
        fingerprint=fingerprint(record, content),
    )


def clock_key(visit: history.Visit) -> str:
    """Write the moment and rank by which the arithmetic orders visits, as text that sorts so.

    Author and place in the log, which the order goes by next, have columns of their own.
    """
    moment, rank, *_ = history.time_key(visit)
    return f"{moment.removesuffix('Z')}/{rank}"


def local_time(performed_at: PerformedAt) -> str | None:
    """Give the bench's clock, hh:mm:ss, or None for a date alone."""
    return performed_at[11:19] if performed_at.has_time else None


def instant(performed_at: PerformedAt) -> str | None:
    """Give the moment in UTC, or None for a date alone."""
    return performed_at.sort_key if performed_at.has_time else None


def fingerprint(record: envelope.Record, content: folding.Content) -> str:
    """Digest what a record states without salt and key, so that a double entry shows."""
    stated = {
        "author": record.author,
        "ski": document_of(record.ski),
        "kind": content.kind,
        "performed_at": str(content.performed_at),
        "body": document_of(content.body),
    }
    text = json.dumps(stated, ensure_ascii=False, sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()


def _plain(value: Decimal | None) -> float | None:
    return None if value is None else float(value)


def _place(place: Place | None) -> history.Place:
    if place is None:
        return history.Place()
    edge: history.Edge | None = EDGES[place.edge][0] if place.edge else None
    return history.Place(
        edge=edge,
        surface=place.surface,
        station=place.station,
        position_mm=place.position_mm,
        length_mm=place.length_mm,
    )


def _measured_at(body: MeasurementBody) -> history.Place:
    return history.Place(
        edge=EDGES[body.edge][0] if body.edge else None,
        surface=body.surface,
        station=body.station,
        position_mm=body.position_mm,
    )


def _readings(bodies: Iterable[MeasurementBody]) -> Iterator[history.Reading]:
    for body in bodies:
        if body.quantity in MATERIAL and body.value is not None:
            yield history.Reading(
                quantity=MATERIAL[body.quantity],
                value_mm=float(body.value),
                place=_measured_at(body),
                uncertainty_mm=_plain(body.uncertainty),
                instrument=body.instrument,
                moment=MOMENTS[body.moment] if body.moment else None,
            )


def _profiles(bodies: Iterable[MeasurementBody]) -> Iterator[history.BaseProfile]:
    for body in bodies:
        if body.quantity is Quantity.BASE_GAP_PROFILE and body.profile:
            points = [point for point in body.profile if isinstance(point, GapPoint)]
            yield history.BaseProfile(
                x_mm=tuple(float(point.x_mm) for point in points),
                gap_um=tuple(float(point.gap_um) for point in points),
                place=_measured_at(body),
                moment=MOMENTS[body.moment] if body.moment else None,
                uncertainty_um=_plain(body.uncertainty),
            )


def _traces(bodies: Iterable[MeasurementBody]) -> Iterator[history.TextureTrace]:
    for body in bodies:
        if body.trace is not None:
            yield history.TextureTrace(
                spacing_um=float(body.trace.spacing_um),
                height_um=tuple(float(height) for height in body.trace.heights_um),
                place=_measured_at(body),
                moment=MOMENTS[body.moment] if body.moment else None,
                uncertainty_um=_plain(body.uncertainty),
                standard=body.standard,
            )


def _target(target: Target | None) -> history.Target | None:
    if target is None:
        return None
    return history.Target(
        _plain(target.base_bevel_deg),
        _plain(target.side_bevel_deg),
        _plain(target.flatness_tolerance_mm),
    )


def _centre_groove(
    body: RecordModel, measurements: Iterable[MeasurementBody]
) -> history.GrooveStatement | None:
    if isinstance(body, DescriptionBody) and body.centre_groove_width_mm is not None:
        return history.GrooveStatement(float(body.centre_groove_width_mm), measured=False)
    widths = [
        float(one.value)
        for one in measurements
        if one.quantity is Quantity.CENTRE_GROOVE_WIDTH_MM and one.value is not None
    ]
    return history.GrooveStatement(widths[-1], measured=True) if widths else None


def _statements(bodies: Iterable[BevelSettingBody]) -> Iterator[history.BevelStatement]:
    for body in bodies:
        for edge in EDGES[body.edge]:
            yield _statement(body, edge)


def _statement(body: BevelSettingBody, edge: history.Edge) -> history.BevelStatement:
    bases: dict[str, history.Basis] = {
        "set": "set",
        "measured": "measured",
        "specified": "specified",
    }
    return history.BevelStatement(
        edge=edge,
        basis=bases[body.basis],
        base_bevel_deg=_plain(body.base_bevel_deg),
        side_bevel_deg=_plain(body.side_bevel_deg),
        facet_width_mm=_plain(body.facet_width_mm),
        station_from_mm=body.station_from_mm,
        station_to_mm=body.station_to_mm,
        uncertainty_deg=_plain(body.uncertainty_deg),
        instrument=body.instrument,
        moment=MOMENTS[body.moment] if body.moment else None,
    )


def _step(step: Step) -> history.Step:
    return history.Step(
        operation=str(step.operation),
        edges=EDGES[step.edge] if step.edge else history.EDGES,
        place=_place(step.place),
        passes=step.passes,
        base_removed_mm=_plain(step.base_removed_mm),
        edge_height_removed_mm=_plain(step.edge_height_removed_mm),
        edge_width_removed_mm=_plain(step.edge_width_removed_mm),
    )


def _findings(record_id: str, findings: Iterable[Finding]) -> Iterator[history.Finding]:
    severities: dict[str, history.Severity] = {
        "slight": "slight",
        "moderate": "moderate",
        "severe": "severe",
    }
    for index, finding in enumerate(findings):
        closes = finding.closes
        yield history.Finding(
            key=history.FindingKey(record_id, index),
            what=str(finding.what),
            severity=severities[finding.severity],
            open=finding.state == "open",
            place=_place(finding.where),
            depth_mm=_plain(finding.depth_mm),
            width_mm=_plain(finding.width_mm),
            closes=history.FindingKey(closes.record, closes.index) if closes else None,
        )

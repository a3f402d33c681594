"""The index rows that follow from one record as corrected; the same rows whenever they are made."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from functools import partial
from types import MappingProxyType
from typing import Any

from apps.records.bevel_setting import BevelSettingBody
from apps.records.clusters import tag_shop
from apps.records.finding import Finding
from apps.records.folding import Folded, State
from apps.records.job import JobBody
from apps.records.keeping import PairBody, StatusBody, UsageBody
from apps.records.link import LinkBody
from apps.records.measurement import MeasurementBody
from apps.records.place import Place
from apps.registry import models
from apps.registry.models.rows import IndexRow
from apps.registry.models.ski import tag_key
from apps.tuning.effects import effect_of

Common = Mapping[str, Any]

INDEX_TABLES: tuple[type[IndexRow], ...] = (
    models.Job,
    models.Finding,
    models.Measurement,
    models.BevelSetting,
    models.Usage,
    models.StatusChange,
    models.Pairing,
    models.Link,
)


def rows_of(folded: Folded) -> list[IndexRow]:
    """Make the index rows of a record; a retracted one has none."""
    make = MAKERS.get(folded.content.kind)
    if folded.state is State.RETRACTED or make is None:
        return []
    common = {
        "record_id": folded.record_id,
        "author": folded.record.author,
        "tag_id": tag_key(folded.record.ski.shop, folded.record.ski.tag),
        "stated_by": folded.content.source,
        "performed_day": folded.content.performed_at.day,
    }
    return list(make(folded.content.body, common))


def thousandths(value: Decimal | None) -> int | None:
    """Give a decimal as whole thousandths; every step of the schema is 0.001 or coarser."""
    return None if value is None else int(value * 1000)


def _word(value: str | None) -> str:
    return str(value or "")


def _job(body: JobBody, common: Common) -> Iterator[IndexRow]:
    yield models.Job(
        **common,
        technician=_word(body.technician),
        findings=len(body.findings),
        steps=len(body.steps),
        grinds=sum(effect_of(str(step.operation)).base_plane for step in body.steps),
        measurements=len(body.measurements),
        bevel_settings=len(body.bevel_settings),
    )
    for number, finding in enumerate(body.findings):
        yield _finding(finding, number, common)
    for number, measurement in enumerate(body.measurements):
        yield _measurement(measurement, number, common, "job")
    for number, bevel in enumerate(body.bevel_settings):
        yield _bevel_setting(bevel, number, common, "job")


def _finding(finding: Finding, number: int, common: Common) -> models.Finding:
    closes = finding.closes
    return models.Finding(
        **common,
        **_where(finding.where),
        number=number,
        what=str(finding.what),
        severity=str(finding.severity),
        state=str(finding.state),
        depth_um=thousandths(finding.depth_mm),
        width_um=thousandths(finding.width_mm),
        closes_record=closes.record if closes else None,
        closes_number=closes.index if closes else None,
    )


def _where(place: Place | None) -> dict[str, Any]:
    if place is None:
        return {}
    return {
        "edge": _word(place.edge),
        "surface": _word(place.surface),
        "station": _word(place.station),
        "position_mm": place.position_mm,
        "length_mm": place.length_mm,
    }


def _measurement(
    body: MeasurementBody, number: int, common: Common, kind: str
) -> models.Measurement:
    return models.Measurement(
        **common,
        number=number,
        kind=kind,
        quantity=str(body.quantity),
        value_thousandths=thousandths(body.value),
        uncertainty_thousandths=thousandths(body.uncertainty),
        not_measured=_word(body.not_measured),
        edge=_word(body.edge),
        surface=_word(body.surface),
        station=_word(body.station),
        position_mm=body.position_mm,
        instrument=_word(body.instrument),
        moment=_word(body.moment),
    )


def _bevel_setting(
    body: BevelSettingBody, number: int, common: Common, kind: str
) -> models.BevelSetting:
    return models.BevelSetting(
        **common,
        number=number,
        kind=kind,
        edge=str(body.edge),
        base_bevel_mdeg=thousandths(body.base_bevel_deg),
        side_bevel_mdeg=thousandths(body.side_bevel_deg),
        facet_width_um=thousandths(body.facet_width_mm),
        station_from_mm=body.station_from_mm,
        station_to_mm=body.station_to_mm,
        basis=str(body.basis),
        moment=_word(body.moment),
        uncertainty_mdeg=thousandths(body.uncertainty_deg),
    )


def _alone_measurement(body: MeasurementBody, common: Common) -> Iterator[IndexRow]:
    yield _measurement(body, 0, common, "measurement")


def _alone_bevel_setting(body: BevelSettingBody, common: Common) -> Iterator[IndexRow]:
    yield _bevel_setting(body, 0, common, "bevel-setting")


def _usage(body: UsageBody, common: Common) -> Iterator[IndexRow]:
    yield models.Usage(**common, days=body.days)


def _status(body: StatusBody, common: Common) -> Iterator[IndexRow]:
    yield models.StatusChange(**common, status=str(body.status), reason=_word(body.reason))


def _pair(body: PairBody, common: Common) -> Iterator[IndexRow]:
    other = body.other_ski
    yield models.Pairing(**common, other_tag_key=tag_key(other.shop, other.tag))


def _link(body: LinkBody, common: Common, says: str) -> Iterator[IndexRow]:
    here, there = common["tag_id"], tag_key(body.other_ski.shop, body.other_ski.tag)
    for number, (one, other) in enumerate(((here, there), (there, here))):
        yield models.Link(
            **common,
            number=number,
            says=says,
            here=one,
            there=other,
            by_here=tag_shop(one) == common["author"],
            by_there=tag_shop(other) == common["author"],
        )


# The kind fixes the class of the body, which the type of a table of functions can't say.
MAKERS: Mapping[str, Callable[[Any, Common], Iterator[IndexRow]]] = MappingProxyType(
    {
        "job": _job,
        "measurement": _alone_measurement,
        "bevel-setting": _alone_bevel_setting,
        "usage": _usage,
        "status": _status,
        "pair": _pair,
        "same-ski": partial(_link, says="same"),
        "distinct-ski": partial(_link, says="distinct"),
    }
)

"""One table of the kinds of record; later kinds are one more row."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from apps.records import amendment, bevel_setting, description, envelope, job, keeping, measurement
from apps.records.envelope import DraftEnvelope, Envelope
from apps.records.model import RecordModel


@dataclass(frozen=True, slots=True)
class KindSpec:
    """What belongs to one kind of record.

    Parameters
    ----------
    record, draft : type
        Model of the signed record, and of what a client sends.
    body, draft_body : type
        Model of the body in each of the two.
    refers : bool
        Whether such a record refers to another one.
    """

    record: type[Envelope]
    draft: type[DraftEnvelope]
    body: type[RecordModel]
    draft_body: type[RecordModel]
    refers: bool = False


KINDS: Mapping[str, KindSpec] = MappingProxyType(
    {
        "description": KindSpec(
            envelope.DescriptionRecord,
            envelope.DescriptionDraft,
            description.DescriptionBody,
            description.DescriptionBodyDraft,
        ),
        "job": KindSpec(
            envelope.JobRecord,
            envelope.JobDraft,
            job.JobBody,
            job.JobBodyDraft,
        ),
        "measurement": KindSpec(
            envelope.MeasurementRecord,
            envelope.MeasurementDraft,
            measurement.MeasurementBody,
            measurement.MeasurementBodyDraft,
        ),
        "bevel-setting": KindSpec(
            envelope.BevelSettingRecord,
            envelope.BevelSettingDraft,
            bevel_setting.BevelSettingBody,
            bevel_setting.BevelSettingBodyDraft,
        ),
        "usage": KindSpec(
            envelope.UsageRecord,
            envelope.UsageDraft,
            keeping.UsageBody,
            keeping.UsageBody,
        ),
        "status": KindSpec(
            envelope.StatusRecord,
            envelope.StatusDraft,
            keeping.StatusBody,
            keeping.StatusBody,
        ),
        "pair": KindSpec(
            envelope.PairRecord,
            envelope.PairDraft,
            keeping.PairBody,
            keeping.PairBodyDraft,
        ),
        "correction": KindSpec(
            envelope.CorrectionRecord,
            envelope.CorrectionDraft,
            amendment.CorrectionBody,
            amendment.CorrectionBodyDraft,
            refers=True,
        ),
        "retraction": KindSpec(
            envelope.RetractionRecord,
            envelope.RetractionDraft,
            amendment.RetractionBody,
            amendment.RetractionBody,
            refers=True,
        ),
    }
)

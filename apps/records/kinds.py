"""One table of the kinds of record; later kinds are one more row."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from apps.records import (
    amendment,
    bevel_setting,
    description,
    envelope,
    job,
    keeping,
    key_record,
    link,
    measurement,
)
from apps.records.envelope import DraftFrame, Envelope, Frame
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

    record: type[Frame]
    draft: type[DraftFrame]
    body: type[RecordModel]
    draft_body: type[RecordModel]
    refers: bool = False

    @property
    def about_ski(self) -> bool:
        """Whether such a record is about a ski; a key is about none."""
        return issubclass(self.record, Envelope)


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
        "same-ski": KindSpec(
            envelope.SameSkiRecord,
            envelope.SameSkiDraft,
            link.SameSkiBody,
            link.SameSkiBodyDraft,
        ),
        "distinct-ski": KindSpec(
            envelope.DistinctSkiRecord,
            envelope.DistinctSkiDraft,
            link.DistinctSkiBody,
            link.DistinctSkiBodyDraft,
        ),
        "dispute": KindSpec(
            envelope.DisputeRecord,
            envelope.DisputeDraft,
            amendment.DisputeBody,
            amendment.DisputeBody,
            refers=True,
        ),
        "erasure": KindSpec(
            envelope.ErasureRecord,
            envelope.ErasureDraft,
            amendment.ErasureBody,
            amendment.ErasureBody,
            refers=True,
        ),
        "key": KindSpec(
            envelope.KeyRecord,
            envelope.KeyDraft,
            key_record.KeyBody,
            key_record.KeyBodyDraft,
        ),
        "key-end": KindSpec(
            envelope.KeyEndRecord,
            envelope.KeyEndDraft,
            key_record.KeyEndBody,
            key_record.KeyEndBodyDraft,
        ),
    }
)

KINDS_ABOUT_A_SKI = tuple(kind for kind, spec in KINDS.items() if spec.about_ski)

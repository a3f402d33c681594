"""The envelopes of all kinds in one place: what a record can be, and what a draft can be."""

from __future__ import annotations

from apps.records.amendment_records import (
    CorrectionDraft,
    CorrectionRecord,
    DisputeDraft,
    DisputeRecord,
    ErasureDraft,
    ErasureRecord,
    RetractionDraft,
    RetractionRecord,
)
from apps.records.bench_records import (
    BevelSettingDraft,
    BevelSettingRecord,
    DescriptionDraft,
    DescriptionRecord,
    JobDraft,
    JobRecord,
    MeasurementDraft,
    MeasurementRecord,
    PairDraft,
    PairRecord,
    StatusDraft,
    StatusRecord,
    UsageDraft,
    UsageRecord,
)
from apps.records.frame import (
    FORMAT,
    REFERENCES,
    DraftEnvelope,
    DraftFrame,
    Envelope,
    Frame,
    ShopDraft,
    ShopEnvelope,
)
from apps.records.key_record import KeyDraft, KeyEndDraft, KeyEndRecord, KeyRecord
from apps.records.link import DistinctSkiDraft, DistinctSkiRecord, SameSkiDraft, SameSkiRecord
from apps.records.place import own_pair

Record = (
    DescriptionRecord
    | JobRecord
    | MeasurementRecord
    | BevelSettingRecord
    | UsageRecord
    | StatusRecord
    | PairRecord
    | CorrectionRecord
    | RetractionRecord
    | SameSkiRecord
    | DistinctSkiRecord
    | DisputeRecord
    | ErasureRecord
)
NodeRecord = KeyRecord | KeyEndRecord
AnyRecord = Record | NodeRecord

Draft = (
    DescriptionDraft
    | JobDraft
    | MeasurementDraft
    | BevelSettingDraft
    | UsageDraft
    | StatusDraft
    | PairDraft
    | CorrectionDraft
    | RetractionDraft
    | SameSkiDraft
    | DistinctSkiDraft
    | DisputeDraft
    | ErasureDraft
)
NodeDraft = KeyDraft | KeyEndDraft
AnyDraft = Draft | NodeDraft

__all__ = [
    "FORMAT",
    "REFERENCES",
    "AnyDraft",
    "AnyRecord",
    "BevelSettingDraft",
    "BevelSettingRecord",
    "CorrectionDraft",
    "CorrectionRecord",
    "DescriptionDraft",
    "DescriptionRecord",
    "DisputeDraft",
    "DisputeRecord",
    "DistinctSkiDraft",
    "DistinctSkiRecord",
    "Draft",
    "DraftEnvelope",
    "DraftFrame",
    "Envelope",
    "ErasureDraft",
    "ErasureRecord",
    "Frame",
    "JobDraft",
    "JobRecord",
    "KeyDraft",
    "KeyEndDraft",
    "KeyEndRecord",
    "KeyRecord",
    "MeasurementDraft",
    "MeasurementRecord",
    "NodeDraft",
    "NodeRecord",
    "PairDraft",
    "PairRecord",
    "Record",
    "RetractionDraft",
    "RetractionRecord",
    "SameSkiDraft",
    "SameSkiRecord",
    "ShopDraft",
    "ShopEnvelope",
    "StatusDraft",
    "StatusRecord",
    "UsageDraft",
    "UsageRecord",
    "own_pair",
]

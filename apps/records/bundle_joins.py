"""Whether the records of a bundle are about its tags, and whether these tags belong together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from apps.records.bundle_file import BundleBody, tag_text
from apps.records.bundle_report import Fault
from apps.records.bundle_rows import SignedRow
from apps.records.clusters import Says, Statement, clusters
from apps.records.envelope import (
    DistinctSkiRecord,
    Envelope,
    Record,
    SameSkiRecord,
)
from apps.records.folding import fold
from apps.records.place import SkiTag
from apps.records.reading import FutureRecord, FutureSki

TAGS = "/bundle/tags"


def subject_faults(body: BundleBody, rows: Iterable[SignedRow]) -> Iterator[Fault]:
    """Yield the records that are about none of the bundle's tags."""
    tags = {(tag.shop, tag.tag) for tag in body.tags}
    for row in rows:
        ski = _subject(row)
        if ski is None or (ski.shop, ski.tag) not in tags:
            yield Fault(row.place, "another-ski", "It is not about a tag of this bundle.")


def _subject(row: SignedRow) -> SkiTag | FutureSki | None:
    if isinstance(row.record, FutureRecord):
        return row.record.envelope.ski
    return row.record.ski if isinstance(row.record, Envelope) else None


def join_faults(body: BundleBody, rows: Iterable[SignedRow]) -> Iterator[Fault]:
    """Yield the tags that the statements in the bundle don't join with the one asked for."""
    asked = tag_text(body.ski)
    given = [tag_text(tag) for tag in body.tags]
    if asked not in given:
        yield Fault(TAGS, "asked-for-missing", f"{asked} was asked for and is not among the tags.")
    if given != sorted(set(given)):
        yield Fault(TAGS, "out-of-order", "A tag stands twice, or they are not in order.")
    joined = clusters(given, _statements(rows), body.links).of(asked).tags
    for number, tag in enumerate(given):
        if tag not in joined:
            sentence = f"No statement in the file joins {tag} with {asked}."
            yield Fault(f"{TAGS}/{number}", "not-joined", sentence)


def _statements(rows: Iterable[SignedRow]) -> Iterator[Statement]:
    about_skis = (
        (row.record_id, row.record, row.index) for row in rows if isinstance(row.record, Record)
    )
    for one in fold(about_skis).effective:
        record = one.record
        if isinstance(record, SameSkiRecord | DistinctSkiRecord):
            says: Says = "same" if isinstance(record, SameSkiRecord) else "distinct"
            ends = tag_text(record.ski), tag_text(record.body.other_ski)
            yield Statement(one.record_id, record.author, says, *ends)

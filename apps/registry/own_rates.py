"""What a shop's own readings say about what its operations take off."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from apps.records.envelope import CorrectionRecord
from apps.records.envelope import Record as SignedRecord
from apps.records.folding import Folded, replacement, standing
from apps.registry.known import read_trusted
from apps.registry.models import Measurement, Record
from apps.registry.practices import practice_of
from apps.registry.visits import MATERIAL, visit_of
from apps.tuning.history import Visit
from apps.tuning.rates import LearnedRate, RemovalPair, learn_rates, removal_pairs

# The latest visits say what the stones and files of today take; more would not say it better.
MOST_VISITS = 300


def own_rates(handle: str) -> tuple[LearnedRate, ...]:
    """Learn a shop's rates from its latest visits with readings before and after the work."""
    return learn_rates(own_pairs(handle), practice_of(handle))


def own_pairs(handle: str) -> tuple[RemovalPair, ...]:
    """Gather a shop's pairs of readings: three queries, at most 300 visits."""
    return removal_pairs(framed_visits(handle), practice_of(handle))


def framed_visits(handle: str) -> Iterator[Visit]:
    """Read the latest jobs of a shop that hold material readings taken before and after."""
    readings = Measurement._default_manager.filter(
        author=handle, kind="job", quantity__in=MATERIAL, value_thousandths__isnull=False
    )
    framed = readings.filter(
        moment="after", record__in=readings.filter(moment="before").values("record")
    )
    latest = framed.order_by("-performed_day", "-record__log_index")
    named = latest.values_list("record", "stated_by", "record__log_index")
    yield from _visits(named.distinct()[:MOST_VISITS])


def _visits(named: Iterable[tuple[str, str, int]]) -> Iterator[Visit]:
    stated = list(named)
    sources = [source for _, source, _ in stated]
    rows = Record.objects.filter(id__in=sources).values_list("id", "document")
    read = {record_id: read_trusted(bytes(document)) for record_id, document in rows}
    for record_id, source, entered in stated:
        yield visit_of(_in_effect(record_id, source, read[source], entered))


def _in_effect(record_id: str, source: str, stating: SignedRecord, entered: int) -> Folded:
    """Take what the index says is in effect, without reading the rest of the history."""
    alone = standing(record_id, stating, entered)
    if not isinstance(stating, CorrectionRecord):
        return alone
    return replace(alone, content=replacement(source, stating))

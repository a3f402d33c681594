"""The records of skis, read and folded: what stands after corrections and retractions."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable

from apps.records.envelope import Record as SignedRecord
from apps.records.folding import Fold, fold
from apps.registry.known import read_trusted
from apps.registry.models import Record


def read_folds(clusters: Iterable[str]) -> dict[str, Fold]:
    """Fold the records of several skis with all their tags, by the cluster's key: one query."""
    rows = Record.objects.readable().filter(subject__ski__cluster__in=set(clusters))
    read: defaultdict[str, list[tuple[str, SignedRecord, int]]] = defaultdict(list)
    columns = ("subject__ski__cluster", "id", "document", "log_index")
    for cluster, record_id, document, entered in rows.values_list(*columns):
        read[cluster].append((record_id, read_trusted(bytes(document)), entered))
    return {cluster: fold(records) for cluster, records in read.items()}


def read_fold(tags: Collection[str]) -> Fold:
    """Fold the records of some tags together; an unknown tag has none."""
    rows = Record.objects.readable().of_tags(tags).values_list("id", "document", "log_index")
    return fold((row, read_trusted(bytes(document)), entered) for row, document, entered in rows)

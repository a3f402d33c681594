"""The records of skis, read and folded: what stands after corrections and retractions."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from apps.records.envelope import Record as SignedRecord
from apps.records.folding import Fold, fold
from apps.registry.known import read_trusted
from apps.registry.models import Record


def read_folds(ski_keys: Iterable[str]) -> dict[str, Fold]:
    """Fold the records of several skis, by the ski's key: one query."""
    rows = Record.objects.filter(subject__ski__in=set(ski_keys))
    read: defaultdict[str, list[tuple[str, SignedRecord, int]]] = defaultdict(list)
    columns = ("subject__ski_id", "id", "document", "log_index")
    for ski, record_id, document, entered in rows.values_list(*columns):
        read[ski].append((record_id, read_trusted(bytes(document)), entered))
    return {ski: fold(records) for ski, records in read.items()}


def read_fold(ski_key: str) -> Fold:
    """Fold the records of one ski; an unknown ski has none."""
    return read_folds([ski_key]).get(ski_key, Fold((), (), ()))

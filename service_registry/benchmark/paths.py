"""The paths that are measured, each beside the plainer way that it is to be better than."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from django.utils import timezone

from apps.api.history import item_members, items_of, rows_of
from apps.api.rendering import dumps
from apps.records.reading import document_of
from apps.registry import models
from apps.registry.actions import append_records
from apps.registry.actors import Actor
from apps.registry.histories import read_fold
from apps.registry.known import read_trusted
from apps.registry.like_rows import OF_VARIANT, described_by, like_values, likenesses
from apps.registry.like_search import find_like
from apps.registry.submissions import Submission
from apps.registry.visits import visits_of
from apps.tuning.condition import fold
from apps.tuning.likeness import SkiDescribed, how_like
from apps.tuning.practice import Practice
from service_registry.benchmark.like_fleet import asked_for


@dataclass(frozen=True, slots=True)
class Path:
    """Something to measure: `ours` beside `plain`, which does the same in the plainer way.

    Attributes
    ----------
    name, plainly : str
        What it does, and what the plainer way is.
    ours, plain : callable
        Each does the whole work once and gives how many records it was.
    """

    name: str
    plainly: str
    ours: Callable[[], int]
    plain: Callable[[], int]


def reading_paths(ski_keys: Sequence[str]) -> tuple[Path, ...]:
    """Give the paths that only read, over the skis of a loaded node."""
    until = models.LogHead._default_manager.get().size
    return (
        Path(
            "history of each ski, stored bytes joined",
            "every record read into its model and written anew",
            lambda: sum(_joined(key, until) for key in ski_keys),
            lambda: sum(_rewritten(key) for key in ski_keys),
        ),
        Path(
            "fleet sorted by steel left, from the kept columns",
            "every ski folded when the list is read",
            lambda: len(list(_kept_fleet())),
            lambda: len(_folded_fleet(ski_keys)),
        ),
    )


def like_path(models_asked: Sequence[int]) -> Path:
    """Give the path that finds the skis like some models, among those that are stored."""
    asked = [asked_for(model) for model in models_asked]
    return Path(
        "skis like a model, found by keys and pooled by the database",
        "every description compared and every value read",
        lambda: sum(sum(find_like(one, asker="").skis) for one in asked),
        lambda: sum(len(_compared_one_by_one(one)) for one in asked),
    )


def writing_path(submissions: Iterable[Submission], again: Iterable[Submission], by: Actor) -> Path:
    """Give the path that writes: one call for many records, beside a call for each.

    Both lists hold new records of the same kind on the same skis, so that neither finds work done.
    """
    batch, one_by_one = list(submissions), list(again)
    return Path(
        "records appended in one call",
        "a call, a lock and a commit for each",
        lambda: len(append_records(submissions=batch, by=by)),
        lambda: sum(len(append_records(submissions=[one], by=by)) for one in one_by_one),
    )


def _joined(ski_key: str, until: int) -> int:
    rows = rows_of([ski_key], until=until)
    dumps({"items": [item_members(item) for item in items_of(rows)]})
    return len(rows)


def _rewritten(ski_key: str) -> int:
    rows = models.Record.objects.of_tags([ski_key]).in_history_order()
    documents = [document_of(read_trusted(bytes(row.document))) for row in rows]
    json.dumps({"items": documents})
    return len(documents)


def _kept_fleet() -> Iterable[tuple[str, int | None]]:
    conditions = models.Condition.objects.order_by("edge_height_least_um")
    return conditions.values_list("ski_id", "edge_height_least_um")


def _folded_fleet(ski_keys: Sequence[str]) -> list[float]:
    today, practice = timezone.now().date(), Practice()
    folded = [
        fold(visits_of(read_fold([key]).effective), practice=practice, today=today)
        for key in ski_keys
    ]
    heights = [one.material.least("edge_height") for one in folded]
    return sorted(left.left.value_mm if left else float("inf") for left in heights)


def _compared_one_by_one(asked: SkiDescribed) -> dict[str, list[int]]:
    rows = likenesses().exclude(text="").values("ski", *OF_VARIANT)
    alike = {row["ski"] for row in rows if how_like(asked, described_by(row)).band is not None}
    told: dict[str, list[int]] = {}
    for ski, value in like_values().values_list("ski", "value_thousandths"):
        if ski in alike:
            told.setdefault(ski, []).append(value)
    return told

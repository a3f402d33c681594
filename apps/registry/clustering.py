"""How skis follow the links: tags that hang together in another way are put on other skis."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping

from apps.records.clusters import Statement, clusters, tag_shop
from apps.records.folding import fold
from apps.records.link import DistinctSkiRecord, SameSkiRecord
from apps.registry import models
from apps.registry.known import read_trusted
from apps.registry.like_rows import drop_like_rows_of
from apps.registry.linking import LINK_KINDS, Placed, around, new_ski, placed, statement_of
from apps.registry.storage import ROWS_AT_ONCE


def recluster(touched: Collection[str]) -> set[str]:
    """Put the tags that hang together with some on the skis that the links now say.

    Parameters
    ----------
    touched : collection of str
        Tags of links that came or went.

    Returns
    -------
    set of str
        The registered tags that stand otherwise than before.
    """
    together = {*touched, *_beside(touched)}
    said = around(together, "mutual", whole=True).inside
    made = clusters(together, said)
    before = _stand(made.components)
    now = placed(made, before)
    moved = {tag for tag in now if now[tag] != before[tag]}
    if moved:
        _move(before, now)
    return moved


def _beside(touched: Collection[str]) -> set[str]:
    """The tags that were on one ski with them until now."""
    skis = models.Tag.objects.filter(key__in=touched).values("ski__cluster")
    return set(models.Tag.objects.filter(ski__cluster__in=skis).values_list("key", flat=True))


def _stand(tags: Iterable[str]) -> dict[str, Placed]:
    rows = models.Tag.objects.filter(key__in=list(tags)).values_list(
        "key", "ski_id", "ski__cluster", "ski__tag_count", "ski__apart"
    )
    return {key: Placed(ski, cluster, count, apart) for key, ski, cluster, count, apart in rows}


def _move(before: Mapping[str, Placed], now: Mapping[str, Placed]) -> None:
    skis = {one.ski: one for one in now.values()}
    models.Ski.objects.bulk_create(
        [new_ski(skis[key]) for key in sorted(skis)],
        batch_size=ROWS_AT_ONCE,
        update_conflicts=True,
        unique_fields=["key"],
        update_fields=["cluster", "tag_count", "apart"],
    )
    for ski, tags in _by_ski(before, now).items():
        models.Tag.objects.filter(key__in=tags).update(ski=ski)
    _drop_folded(
        skis={one.ski for one in before.values()} - skis.keys(),
        clusters={one.cluster for one in before.values()} - {one.cluster for one in now.values()},
    )


def _by_ski(before: Mapping[str, Placed], now: Mapping[str, Placed]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for tag in sorted(now):
        if now[tag].ski != before[tag].ski:
            found.setdefault(now[tag].ski, []).append(tag)
    return found


def _drop_folded(*, skis: set[str], clusters: set[str]) -> None:
    """Drop what was folded of skis that are no more, and the skis."""
    drop_like_rows_of(clusters)
    models.Condition.objects.filter(ski__in=skis).delete()
    models.Wear._default_manager.filter(ski__in=skis).delete()
    models.Ski.objects.filter(key__in=skis).delete()


def all_placed() -> dict[str, Placed]:
    """Say from the records alone where each tag stands that a link names, by tag."""
    said = list(_statements())
    registered = set(_registered({tag for one in said for tag in one.pair}))
    # What a link says counts from when the tag that it is about is here, as its rows do.
    made = clusters((), (one for one in said if one.one in registered))
    return placed(made, registered)


def _registered(named: set[str]) -> Iterator[str]:
    tags = sorted(named)
    for start in range(0, len(tags), ROWS_AT_ONCE):
        part = tags[start : start + ROWS_AT_ONCE]
        rows = models.Record.objects.of_kind("description").filter(subject__in=part)
        for author, key in rows.values_list("author", "subject_id"):
            if tag_shop(key) == author:
                yield key


def _statements() -> Iterator[Statement]:
    """Fold the links of the whole log; they are few beside the records."""
    links = models.Record.objects.readable().filter(kind__in=LINK_KINDS)
    retractions = models.Record.objects.readable().filter(
        kind="retraction", target__in=links.values("id")
    )
    rows = [*links.stored(), *retractions.stored()]
    for one in fold((row.id, read_trusted(row.document), row.log_index) for row in rows).effective:
        if isinstance(one.record, SameSkiRecord | DistinctSkiRecord):
            yield statement_of(one.record_id, one.record)

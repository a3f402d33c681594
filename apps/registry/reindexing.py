"""How the index follows the records: what an append touches is made anew, once a ski."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence

from django.db.models import Q

from apps.records.folding import Fold, Folded
from apps.registry import models
from apps.registry.clustering import recluster
from apps.registry.conditions import store_conditions
from apps.registry.histories import read_folds
from apps.registry.indexing import INDEX_TABLES, rows_of
from apps.registry.known import registers_tag
from apps.registry.like_rows import store_like_rows
from apps.registry.linking import LINK_KINDS, Placed, alone, new_ski
from apps.registry.models.rows import IndexRow
from apps.registry.models.ski import shop_and_tag
from apps.registry.storage import ROWS_AT_ONCE
from apps.registry.submissions import Entry, SkiEntry


def reindex(entries: Sequence[Entry]) -> None:
    """Bring tags, index rows, clusters and conditions up to what new records say."""
    about = [entry for entry in entries if isinstance(entry, SkiEntry)]
    if not about:
        return
    new = _not_here({e.tag_key: e.record_id for e in reversed(about) if registers_tag(e)})
    fresh = {e.record_id for e in about}
    waited = _waiting_for(new) - fresh
    register_tags(new.items())
    linked = {key for e in about if e.record.kind in LINK_KINDS for key in e.tag_keys}
    follow(
        {e.tag_key for e in about},
        fresh=fresh | waited,
        amended={e.target for e in about if e.target},
        # Links about a tag that was not here yet have waited with the rest.
        linked=linked | (set(new) if waited else _named_by_links(new)),
    )


def follow(
    tags: Collection[str],
    *,
    fresh: Collection[str] = (),
    amended: Collection[str] = (),
    linked: Collection[str] = (),
) -> None:
    """Make anew what changed about tags.

    Parameters
    ----------
    tags : collection of str
        The tags whose records are other than before.
    fresh : collection of str
        Records that have no rows yet.
    amended : collection of str
        Records that others amend, or whose bytes are gone; their rows are made anew.
    linked : collection of str
        Tags that hang together in another way than before.
    """
    touched, stale, clusters = set(linked), set(amended), _clusters_of(tags)
    if stale:
        stale |= _amended_by(stale)
        touched |= _linked_by(stale)
        _drop_rows(stale, clusters)
    folds = read_folds(clusters)
    store_rows(_of_records(folds.values(), {*fresh, *stale}))
    # A link whose retraction was erased has a row again only now.
    touched |= _linked_by(stale)
    moved = recluster(touched) if touched else set()
    if moved:
        folds = read_folds(_clusters_of({*tags, *moved}))
    store_conditions(folds)
    store_like_rows(folds)


def register_tags(
    pairs: Iterable[tuple[str, str]], placed: Mapping[str, Placed] | None = None
) -> None:
    """Put tags on skis, each by the first record that says so.

    Parameters
    ----------
    pairs : iterable of (tag, record)
    placed : mapping of str to Placed
        Where tags stand that links join; the others are on skis of their own.
    """
    where = placed or {}
    tags = [new_tag(key, record_id, where.get(key)) for key, record_id in pairs]
    skis = [new_ski(where.get(tag.key) or alone(tag.key)) for tag in tags]
    models.Ski.objects.bulk_create(skis, ignore_conflicts=True, batch_size=ROWS_AT_ONCE)
    models.Tag.objects.bulk_create(tags, ignore_conflicts=True, batch_size=ROWS_AT_ONCE)


def new_tag(key: str, record_id: str, placed: Placed | None = None) -> models.Tag:
    """Make a tag, on a ski of its own unless links say otherwise."""
    shop, tag = shop_and_tag(key)
    ski = placed.ski if placed else key
    return models.Tag(key=key, shop=shop, tag=tag, ski_id=ski, registered_by=record_id)


def _clusters_of(tags: Collection[str]) -> set[str]:
    found = models.Tag.objects.filter(key__in=tags)
    return set(found.values_list("ski__cluster", flat=True))


def _not_here(tags: Mapping[str, str]) -> dict[str, str]:
    here = models.Tag.objects.filter(key__in=tags) if tags else models.Tag.objects.none()
    known = set(here.values_list("key", flat=True))
    return {key: record for key, record in tags.items() if key not in known}


def _named_by_links(tags: Collection[str]) -> set[str]:
    """Links may name a tag before it is registered."""
    if not tags:
        return set()
    named = models.Link._default_manager.filter(here__in=tags)
    return set(named.values_list("here", flat=True))


def _waiting_for(tags: Collection[str]) -> set[str]:
    """Records from another node may come before the tag that they are about is registered."""
    if not tags:
        return set()
    return set(models.Record.objects.of_tags(tags).values_list("id", flat=True))


def _linked_by(records: Collection[str]) -> set[str]:
    links = models.Link._default_manager.filter(Q(("record__in", records)))
    return set(links.values_list("here", flat=True))


def _amended_by(targets: set[str]) -> set[str]:
    """Where what amends a record was itself amended or erased, that record is touched.

    A retraction may be about a correction, so this goes two steps at most.
    """
    named = models.Record.objects.filter(id__in=targets, target__gt="")
    above = set(named.values_list("target", flat=True))
    further = models.Record.objects.filter(id__in=above, target__gt="") if above else ()
    return above | {one.target for one in further}


def _of_records(folds: Iterable[Fold], wanted: set[str]) -> list[Folded]:
    return [one for fold in folds for one in fold.records if one.record_id in wanted]


def _drop_rows(record_ids: set[str], clusters: set[str]) -> None:
    # What a peer's record says of a record on another ski has no effect and must drop no row there.
    of_records = Q(("record__in", record_ids), ("tag__ski__cluster__in", clusters))
    for table in INDEX_TABLES:
        table._default_manager.filter(of_records).delete()


def store_rows(folded: Iterable[Folded]) -> None:
    """Store the index rows of records, table by table."""
    by_table: defaultdict[type[IndexRow], list[IndexRow]] = defaultdict(list)
    for one in folded:
        for row in rows_of(one):
            by_table[type(row)].append(row)
    for table, rows in by_table.items():
        table._default_manager.bulk_create(rows, batch_size=ROWS_AT_ONCE)

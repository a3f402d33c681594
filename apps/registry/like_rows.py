"""The rows by which like skis are found and pooled; the same rows whenever they are made."""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import models as django_models
from django.db.models import Exists, OuterRef, QuerySet

from apps.records.folding import Fold
from apps.registry import models
from apps.registry.descriptions import described
from apps.registry.indexing import thousandths
from apps.registry.like_values import values_of
from apps.registry.models.likeness import VARIANT_LENGTH
from apps.registry.storage import ROWS_AT_ONCE
from apps.tuning.likeness import SkiDescribed
from apps.tuning.model_text import ModelText, model_text, search_keys

Likenesses = QuerySet[models.Likeness]
OF_VARIANT = ("text", "year", "length_mm", "construction", "use", "waist_width_um")
TEXTS_AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class LikeRows:
    """The rows of one ski."""

    likeness: models.Likeness
    values: tuple[models.LikeValue, ...]


def like_rows(ski_key: str, fold: Fold) -> LikeRows:
    """Make the rows of one ski; without a model it has no values, since nobody finds them."""
    likeness = _likeness(ski_key, described(fold.effective).fields)
    if not likeness.text:
        return LikeRows(likeness, ())
    values = [
        models.LikeValue(
            ski_id=ski_key,
            **respect._asdict(),
            value_thousandths=value,
            variant=likeness.variant,
        )
        for respect, value in values_of(fold).items()
    ]
    return LikeRows(likeness, tuple(values))


def _likeness(ski_key: str, fields: Mapping[str, Any]) -> models.Likeness:
    text = model_text(fields.get("maker_text"), fields.get("model_text"))
    waist = fields.get("waist_width_mm")
    columns: dict[str, Any] = {
        "text": text.key if text.model else "",
        "year": fields.get("model_year"),
        "length_mm": fields.get("length_mm"),
        "construction": fields.get("construction", ""),
        "use": fields.get("use", ""),
        "waist_width_um": thousandths(Decimal(waist) if waist else None),
    }
    return models.Likeness(ski_id=ski_key, **columns, variant=variant_of(columns))


def variant_of(columns: Mapping[str, Any]) -> str:
    """Digest what skis are described by; no two descriptions share it."""
    text = "\n".join(str(columns[name]) for name in OF_VARIANT)
    return hashlib.sha256(text.encode()).hexdigest()[:VARIANT_LENGTH]


def described_by(columns: Mapping[str, Any]) -> SkiDescribed:
    """Give the columns of a row to the arithmetic."""
    waist = columns["waist_width_um"]
    return SkiDescribed(
        ModelText.of_key(columns["text"]),
        columns["year"],
        columns["length_mm"],
        columns["construction"] or None,
        columns["use"] or None,
        None if waist is None else waist / 1000,
    )


def keys_of(texts: Iterable[str]) -> list[models.ModelKey]:
    """Make the rows by which texts are found; the text of skis without a model has none."""
    return [
        models.ModelKey(key=key, text=text)
        for text in sorted(texts)
        for key in sorted(search_keys(ModelText.of_key(text)))
    ]


def store_like_rows(folds: Mapping[str, Fold]) -> None:
    """Bring the rows of skis up to their records; what is the same already is left alone."""
    made = [like_rows(key, fold) for key, fold in folds.items()]
    before = likenesses().in_bulk(list(folds))
    changed = [row.likeness for row in made if not _is_same(row.likeness, before)]
    _store_values(made)
    if changed:
        _store_likenesses(changed)
        _store_keys({row.text for row in changed}, {row.text for row in before.values()})


def likenesses() -> Likenesses:
    """All rows that say what skis are like."""
    return models.Likeness._default_manager.all()


def like_values() -> QuerySet[models.LikeValue]:
    """All rows that say what shops state."""
    return models.LikeValue._default_manager.all()


def model_keys() -> QuerySet[models.ModelKey]:
    """All rows by which texts are found."""
    return models.ModelKey._default_manager.all()


def keys_without_a_ski() -> QuerySet[models.ModelKey]:
    """Rows of texts that no ski has."""
    return model_keys().exclude(Exists(likenesses().filter(text=OuterRef("text"))))


def text_batches() -> Iterator[list[str]]:
    """Give all texts that skis have in order, some at a time."""
    after = ""
    while True:
        texts = likenesses().filter(text__gt=after).order_by("text").distinct()
        batch = list(texts.values_list("text", flat=True)[:TEXTS_AT_ONCE])
        if not batch:
            return
        yield batch
        after = batch[-1]


def drop_like_rows() -> None:
    """Drop them all, to be made again."""
    for table in (models.LikeValue, models.ModelKey, models.Likeness):
        table._default_manager.all().delete()


def drop_like_rows_of(ski_keys: Collection[str]) -> None:
    """Drop the rows of skis that are no more."""
    texts = set(likenesses().filter(ski__in=ski_keys).values_list("text", flat=True))
    like_values().filter(ski__in=ski_keys).delete()
    likenesses().filter(ski__in=ski_keys).delete()
    _drop_keys(texts)


def _is_same(row: models.Likeness, before: Mapping[str, models.Likeness]) -> bool:
    stored = before.get(row.ski_id)
    # The digest covers every other column.
    return stored is not None and stored.variant == row.variant


def _store_likenesses(rows: Iterable[models.Likeness]) -> None:
    likenesses().bulk_create(
        rows,
        batch_size=ROWS_AT_ONCE,
        update_conflicts=True,
        unique_fields=["ski"],
        update_fields=[*OF_VARIANT, "variant"],
    )


def _store_values(made: Iterable[LikeRows]) -> None:
    rows = {row.likeness.ski_id: _by_content(row.values) for row in made}
    before: defaultdict[str, set[tuple[object, ...]]] = defaultdict(set)
    for stored in like_values().filter(ski__in=list(rows)):
        before[stored.ski_id].add(_content(stored))
    stale = [ski for ski, values in rows.items() if values.keys() != before[ski]]
    if stale:
        like_values().filter(ski__in=stale).delete()
        fresh = [value for ski in stale for value in rows[ski].values()]
        like_values().bulk_create(fresh, batch_size=ROWS_AT_ONCE)


def _content(row: django_models.Model) -> tuple[object, ...]:
    return tuple(getattr(row, field.attname) for field in row._meta.concrete_fields)


def _by_content(
    rows: Iterable[models.LikeValue],
) -> dict[tuple[object, ...], models.LikeValue]:
    return {_content(row): row for row in rows}


def _store_keys(now: set[str], before: set[str]) -> None:
    """Add the keys of texts that are new, and drop those of texts that no ski has any more."""
    model_keys().bulk_create(keys_of(now - before), batch_size=ROWS_AT_ONCE, ignore_conflicts=True)
    _drop_keys(before - now)


def _drop_keys(texts: set[str]) -> None:
    gone = texts - {""}
    if gone:
        keys_without_a_ski().filter(text__in=gone).delete()

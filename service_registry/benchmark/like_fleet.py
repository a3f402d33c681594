"""Makes many described skis as rows of the index alone, to measure how like skis are found."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from apps.registry import models
from apps.registry.like_rows import keys_of, like_values, likenesses, model_keys, variant_of
from apps.tuning.likeness import SkiDescribed
from apps.tuning.model_text import model_text

SHOPS = 20
MAKERS = ("corvid", "lapwing", "dunlin", "siskin", "plover", "merlin", "whimbrel", "redpoll")
BEGINNINGS = (
    *("bar", "cor", "dal", "fen", "gar", "hol", "ker", "lan", "mor", "nor"),
    *("pel", "ral", "sal", "tor", "ul", "ven", "wald", "yar", "zel", "ost"),
)
ENDS = (
    *("an", "beck", "crag", "dale", "edge", "fell", "garth", "holm", "ing", "keld"),
    *("lund", "mere", "ness", "oak", "pike", "rigg", "scar", "tarn", "wick", "yeld"),
)
MARKED_LENGTHS, YEARS = 20, 12
AT_ONCE = 500


def asked_for(model: int) -> SkiDescribed:
    """Give what a bench asks for to find a model."""
    maker, name = _names(model)
    return SkiDescribed(model_text(maker, name), year=2019, length_mm=1720)


def fill(skis: int, *, kinds: int) -> None:
    """Store so many skis of so many models, each with a bevel that one of 20 shops set."""
    rows = [_likeness(number, number % kinds, number // kinds) for number in range(skis)]
    skis_rows = (models.Ski(key=row.ski_id, cluster=row.ski_id) for row in rows)
    models.Ski._default_manager.bulk_create(skis_rows, batch_size=AT_ONCE)
    likenesses().bulk_create(rows, batch_size=AT_ONCE)
    like_values().bulk_create(_values(rows), batch_size=AT_ONCE)
    model_keys().bulk_create(keys_of({row.text for row in rows}), batch_size=AT_ONCE)


def _names(model: int) -> tuple[str, str]:
    beginning = BEGINNINGS[model % len(BEGINNINGS)]
    end = ENDS[model // len(BEGINNINGS) % len(ENDS)]
    number = 70 + model // (len(BEGINNINGS) * len(ENDS)) * 6
    return MAKERS[model % len(MAKERS)], f"{beginning}{end} {number}"


def _likeness(number: int, model: int, turn: int) -> models.Likeness:
    columns: dict[str, Any] = {
        "text": model_text(*_names(model)).key,
        "year": 2014 + turn % YEARS,
        "length_mm": 1650 + 10 * (turn % MARKED_LENGTHS),
        "construction": "sandwich",
        "use": "piste",
        "waist_width_um": 84_000,
    }
    key = f"shop{number % SHOPS}@node.example/S-{number}"
    return models.Likeness(ski_id=key, **columns, variant=variant_of(columns))


def _values(rows: list[models.Likeness]) -> Iterator[models.LikeValue]:
    for number, row in enumerate(rows):
        yield models.LikeValue(
            ski_id=row.ski_id,
            author=row.ski_id.partition("/")[0],
            what="base_bevel",
            source="set",
            place="left",
            value_thousandths=500 + 250 * (number % 3),
            variant=row.variant,
        )

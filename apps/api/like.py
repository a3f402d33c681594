"""What is known of like skis, put together for an answer; the arithmetic is `tuning`'s."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, TypeVar

from apps.api.answers import like as answers
from apps.records.place import SkiTag
from apps.registry.like_search import Kind, LikeSkis, Stated
from apps.tuning.likeness import BANDS, METHOD, SkiDescribed, why_like
from apps.tuning.pooling import (
    FEW_SHOPS,
    LEAST_SHOPS,
    LEAST_SKIS,
    ROUNDINGS,
    Distribution,
    Pooled,
    Rounding,
    Told,
    counted_down,
    distribution_of,
    pool,
)
from apps.tuning.usual_ranges import usual_ranges

A = TypeVar("A", bound=answers.PooledAnswer)

NOBODY = Stated((), (), (0,) * len(BANDS), (0,) * len(BANDS))
BEVEL_BASES = ("set", "measured", "specified")
WIDTHS = ("shovel", "waist", "tail", "chord")
MATERIAL = ("edge_height", "edge_width", "base_thickness")
TAKEN = ("stated", "readings")
SENTENCES = {
    "pooled": "Other shops state something of like skis; each figure says how many stand behind.",
    FEW_SHOPS.code: "There are like skis, but fewer than three other shops stand behind any one "
    "figure, so none is shown.",
    "fewer-than-three-skis": "There are like skis, but fewer than three of them stand behind any "
    "one figure, so none is shown.",
    "no-like-ski": "No ski on this node is like this one.",
    "no-model-text": "Nobody described the model of this ski, so like skis can't be looked for.",
}
MORE_RECORDS = (
    "Records of other shops: descriptions with the model, and bevels, widths, steel and base as "
    "measured."
)
HELP = {
    "pooled": (),
    FEW_SHOPS.code: (MORE_RECORDS,),
    "fewer-than-three-skis": (MORE_RECORDS,),
    "no-like-ski": (
        "The model as printed on the ski, without length and year; then the maker apart.",
        "Numbers and short signs such as GS must be the same: leave doubtful ones out.",
        MORE_RECORDS,
    ),
    "no-model-text": (
        "A description with the model as printed on the ski, or a search by the model's name.",
    ),
}


def like_answer(found: LikeSkis) -> answers.LikeAnswer:
    """Give the answer about skis like what was asked for."""
    return answers.LikeAnswer.model_validate(_members(found))


def ski_like_answer(found: LikeSkis, ski: SkiTag) -> answers.SkiLikeAnswer:
    """Give the answer about skis like one."""
    return answers.SkiLikeAnswer.model_validate({**_members(found), "ski": ski})


def _members(found: LikeSkis) -> dict[str, Any]:
    pools: dict[str, Sequence[answers.PooledAnswer]] = {
        "bevels": list(_bevels(found)),
        "widths": list(_widths(found)),
        "radius": list(_radius(found)),
        "first_seen": list(_first_seen(found)),
        "took_off": list(_took_off(found)),
    }
    outcome = _outcome(found, [one.code for pooled in pools.values() for one in pooled])
    return {
        "asked": _asked(found.asked),
        "outcome": outcome,
        "sentence": SENTENCES[outcome],
        "would_help": list(HELP[outcome]),
        "method": METHOD,
        "groups": list(_groups(found)),
        **pools,
        "usual": list(usual_ranges(found.asked.use, found.asked.year)),
    }


def _outcome(found: LikeSkis, codes: Sequence[str]) -> str:
    if not found.asked.text.model:
        return "no-model-text"
    if not found.is_found:
        return "no-like-ski"
    return next((code for code in ("pooled", "fewer-than-three-skis") if code in codes), codes[0])


def _asked(asked: SkiDescribed) -> dict[str, Any]:
    return {
        "model": asked.text.model or None,
        "maker": asked.text.maker or None,
        "year": asked.year,
        "length_mm": asked.length_mm,
        "construction": asked.construction,
        "use": asked.use,
        "waist_width_mm": asked.waist_mm,
    }


def _groups(found: LikeSkis) -> Iterator[answers.LikeGroup]:
    shops: frozenset[str] = frozenset()
    for band, (name, least) in enumerate(BANDS):
        shops |= found.shops_by_band[band]
        skis = sum(found.skis[: band + 1])
        if found.likenesses[band] and len(shops) >= LEAST_SHOPS and skis >= LEAST_SKIS:
            alike = [one for within in found.likenesses[: band + 1] for one in within]
            yield answers.LikeGroup.model_validate(
                {
                    "group": name,
                    "least_likeness": least,
                    "shops": counted_down(len(shops)),
                    "skis": counted_down(skis),
                    "why": list(why_like(alike)),
                }
            )


def _bevels(found: LikeSkis) -> Iterator[answers.BevelPool]:
    for bevel in ("base", "side"):
        for basis in BEVEL_BASES:
            kind, named = Kind(f"{bevel}_bevel", basis), {"bevel": bevel, "basis": basis}
            yield _pool(answers.BevelPool, found, kind, ROUNDINGS[kind.what], "deg", named)


def _widths(found: LikeSkis) -> Iterator[answers.WidthPool]:
    for of in WIDTHS:
        for source in ("measured", "described"):
            kind = Kind(of if of == "chord" else f"{of}_width", source)
            named = {"of": of, "source": source}
            yield _pool(answers.WidthPool, found, kind, ROUNDINGS[kind.what], "mm", named)


def _radius(found: LikeSkis) -> Iterator[answers.RadiusPool]:
    for source, shown in (("measured", "measured"), ("described", "declared")):
        kind, named = Kind("radius", source), {"source": shown}
        yield _pool(answers.RadiusPool, found, kind, ROUNDINGS["radius"], "m", named)


def _first_seen(found: LikeSkis) -> Iterator[answers.FirstSeenPool]:
    for quantity in MATERIAL:
        kind, named = Kind(quantity, "first_seen"), {"quantity": quantity}
        yield _pool(answers.FirstSeenPool, found, kind, ROUNDINGS[quantity], "mm", named)


def _took_off(found: LikeSkis) -> Iterator[answers.TookOffPool]:
    for kind in sorted(found.stated, key=lambda kind: (kind.operation, kind.what, kind.source)):
        if kind.source not in TAKEN:
            continue
        named = {"operation": kind.operation, "quantity": kind.what, "source": kind.source}
        pooled = _pool(answers.TookOffPool, found, kind, ROUNDINGS["removal"], "mm", named)
        # That one or two other shops state it at all is left unsaid.
        if pooled.others is not None or pooled.own is not None:
            yield pooled


def _pool(
    model: type[A],
    found: LikeSkis,
    kind: Kind,
    rounding: Rounding,
    unit: str,
    named: dict[str, str],
) -> A:
    stated = found.stated.get(kind, NOBODY)
    pooled = pool(stated.others, stated.skis, rounding)
    own, own_skis = _own(stated, pooled)
    return model.model_validate(
        {
            **named,
            "code": pooled.code,
            "sentence": pooled.sentence,
            "shops": pooled.shops,
            "skis": pooled.skis,
            "group": None if pooled.band is None else BANDS[pooled.band][0],
            "least_likeness": None if pooled.band is None else BANDS[pooled.band][1],
            "method": pooled.method,
            "others": _spread(pooled.distribution, unit),
            "own": _spread(distribution_of(own, rounding) if own else None, unit),
            "own_skis": own_skis,
        }
    )


def _own(stated: Stated, pooled: Pooled) -> tuple[list[Told], int | None]:
    """The asker's own, from the skis that are as like as those of the others."""
    widest = len(BANDS) - 1 if pooled.band is None else pooled.band
    own = [one for one in stated.own if one.band <= widest]
    return own, sum(stated.own_skis[: widest + 1]) if own else None


def _spread(distribution: Distribution | None, unit: str) -> dict[str, float] | None:
    if distribution is None:
        return None
    return {
        f"{name}_{unit}": getattr(distribution, name) / 1000
        for name in Distribution.__dataclass_fields__
    }

"""Puts together what a ski is from its folded records."""

from __future__ import annotations

from apps.api.addresses import ski_address
from apps.api.answers.condition import StatusNowAnswer
from apps.api.answers.ski import PairedAnswer, SkiLinks
from apps.api.descriptions import described
from apps.api.joined import joined_answer, ski_tags
from apps.api.shapes import shape_of
from apps.records.folding import Fold, Folded
from apps.records.keeping import StatusBody
from apps.records.place import SkiTag
from apps.registry.joining import JoinedSki
from apps.registry.pairings import Paired, pairs_of


def links_of(shop: str, tag: str) -> SkiLinks:
    """Give the addresses of what belongs to a ski."""
    address = ski_address(shop, tag)
    return SkiLinks(
        self=address,
        history=f"{address}/history",
        condition=f"{address}/condition",
        plan=f"{address}/plan",
        pair=f"{address}/pair",
        like=f"{address}/like",
        wear=f"{address}/wear",
        bundle=f"{address}/bundle",
    )


def ski_answer(joined: JoinedSki, fold: Fold) -> dict[str, object]:
    """Give the members of the answer about a ski."""
    known, found = described(fold.effective), joined.tag
    answer: dict[str, object] = {
        "ski": SkiTag(shop=found.shop, tag=found.tag),
        "tags": ski_tags(joined.tags),
        "description": known.fields,
        "described_by": known.sources,
        "shape": shape_of(fold.effective, known),
        "pairs": [_paired(pair) for pair in pairs_of(joined)[:1]],
        "joined": joined_answer(joined),
        "links": links_of(found.shop, found.tag),
    }
    status = _status(fold.effective)
    return answer if status is None else {**answer, "status": status}


def _status(effective: tuple[Folded, ...]) -> StatusNowAnswer | None:
    latest = None
    for one in effective:
        body = one.content.body
        if isinstance(body, StatusBody):
            day = one.content.performed_at.day
            latest = StatusNowAnswer.model_validate(
                {"record": one.content.source, "day": day, "status": str(body.status)}
            )
    return latest


def _paired(pair: Paired) -> PairedAnswer:
    ski = SkiTag(shop=pair.shop, tag=pair.tag)
    return PairedAnswer(record=pair.record, day=pair.day, ski=ski)

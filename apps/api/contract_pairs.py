"""The operation that compares the two skis of a pair."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

from apps.api import problem_types as types
from apps.api.answers.pairs import PairNowAnswer
from apps.api.contract_condition import PRACTICE
from apps.api.contract_skis import FOREIGN
from apps.api.joined import LinksQuery, alone
from apps.api.openapi_texts import SKIS
from apps.api.operations import Answer, Operation
from apps.records.examples import RECORD, SKI
from apps.records.place import SkiTag
from apps.tuning.condition import fold
from apps.tuning.history import BevelStatement, Place, Reading, Visit
from apps.tuning.pairs import pair_now
from apps.tuning.pairs_compare import PairedSki
from apps.tuning.practice import Practice

DAY = date(2025, 1, 31)
OTHER = {"shop": SKI["shop"], "tag": "FB-0043"}


def _ski(tag: str, side_bevel_deg: float, edge_height_mm: float) -> PairedSki:
    visit = Visit(
        record=RECORD,
        kind="job",
        author=SKI["shop"],
        day=DAY,
        readings=(
            Reading("edge_height", edge_height_mm, Place(edge="left"), 0.02, "depth gauge"),
            Reading("edge_width", 2.0, Place(edge="left"), 0.05, "caliper"),
        ),
        bevels=(
            BevelStatement(
                "left",
                "measured",
                base_bevel_deg=0.5,
                side_bevel_deg=side_bevel_deg,
                uncertainty_deg=0.1,
            ),
        ),
    )
    folded = fold([visit], practice=Practice(), today=DAY)
    return PairedSki(tag, folded)


def pair_example() -> Any:
    """Give the example of an answer, computed."""
    first, second = _ski("FB-0042", 3.0, 1.785), _ski("FB-0043", 2.0, 1.560)
    now = pair_now(first, second, Practice())
    answer = PairNowAnswer.model_validate(
        {
            "ski": SKI,
            "joined": alone(SkiTag.model_validate(SKI)),
            "other_joined": alone(SkiTag.model_validate(OTHER)),
            "pair": {"record": RECORD, "day": DAY, "ski": OTHER},
            "other_pairs": [],
            "as_of": DAY,
            "outcome": now.outcome,
            "differences": now.differences,
            "tune": now.tune,
            "measure_first": now.measure_first,
            "remarks": now.remarks,
        }
    )
    return json.loads(answer.model_dump_json(exclude_none=True))


PAIR = Operation(
    id="compare_pair",
    tag=SKIS,
    summary="Compare the two skis of a pair",
    description="The ski beside the one that the latest `pair` record in effect names: bevels edge "
    "by edge, steel, base, radius, length and days out, each together, apart or undecided given "
    "its uncertainty, and the tune that brings bevels that are apart together for the least steel. "
    "Left is compared with left, as seen from above. Nothing is stored. No binding setting is ever "
    f"computed. {PRACTICE} {FOREIGN}",
    answer=Answer("The pair.", PairNowAnswer, pair_example),
    cost="compute",
    query=LinksQuery,
    problems=(types.UNKNOWN_SKI, types.NO_PAIR),
)

"""The two skis of a pair: how far they have drifted apart, and what brings them together."""

from __future__ import annotations

from datetime import date
from typing import Literal

from pydantic import Field

from apps.api.answers.base import AnswerModel
from apps.api.answers.figures import (
    Amount,
    Degrees,
    EdgeName,
    Ids,
    Millimetres,
    Probability,
)
from apps.api.answers.joined import JoinedAnswer
from apps.api.answers.plan import ReserveCostAnswer, SpentAnswer, VerdictAnswer
from apps.api.answers.ski import PairedAnswer
from apps.records.place import SkiTag

Together = Literal["together", "apart", "undecided"]
OutcomeWord = Literal["feasible", "not_feasible", "undecided"]


class PairValueAnswer(AnswerModel):
    """What is known of one ski, in the unit of what is compared."""

    value: Amount = Field(description="The value.")
    expanded_uncertainty: Amount = Field(description="k = 2; 0 for what was counted or declared.")
    method: str = Field(description="Name of the rule that gave it.")
    rests_on: Ids


class PairDifferenceAnswer(AnswerModel):
    """One thing compared on the two skis; what nobody knows is absent."""

    quantity: Literal[
        "base_bevel",
        "side_bevel",
        "edge_height",
        "edge_width",
        "base_thickness",
        "radius",
        "length",
        "days_in_use",
    ] = Field(description="What is compared.")
    unit: Literal["deg", "mm", "m", "d"] = Field(description="Unit of all its numbers.")
    edge: EdgeName | None = Field(
        default=None, description="Whose edge, seen from above with the tip forward on both."
    )
    station: str | None = Field(default=None, description="The named place along the ski.")
    position_mm: int | None = Field(default=None, description="Distance from the tail [mm].")
    first: PairValueAnswer | None = Field(
        default=None, description="What is known of the ski that was asked for."
    )
    second: PairValueAnswer | None = Field(
        default=None, description="What is known of the other one."
    )
    difference: Amount | None = Field(default=None, description="First less second.")
    expanded_uncertainty: Amount | None = Field(
        default=None,
        description="Of the difference, k = 2. Where one named gauge read both skis it is less "
        "than the two together, for what the gauge shares falls out.",
    )
    tolerance: Amount = Field(description="How far apart they may be, practice.")
    probability: Probability | None = Field(
        default=None, description="Probability that they are within it [1]."
    )
    outcome: Together = Field(
        description="Proved within the tolerance, proved beyond it, or neither (ISO 14253-1)."
    )
    sentence: str = Field(description="For a person.")
    method: str = Field(description="The rule.")
    rests_on: Ids


class EdgeTargetAnswer(AnswerModel):
    """Bevels of one edge; an absent one is left as it is."""

    base_bevel_deg: Degrees | None = Field(default=None, description="Base bevel [deg].")
    side_bevel_deg: Degrees | None = Field(default=None, description="Side bevel [deg].")


class TargetsAnswer(AnswerModel):
    """Bevels, edge by edge."""

    left: EdgeTargetAnswer = Field(description="Left edge.")
    right: EdgeTargetAnswer = Field(description="Right edge.")


class SteelCostAnswer(AnswerModel):
    """What a tune takes off both skis together."""

    steel_low_mm: Millimetres = Field(description="Least steel, height and width [mm].")
    steel_usual_mm: Millimetres = Field(description="Usual steel, height and width [mm].")
    steel_high_mm: Millimetres = Field(description="Most steel, height and width [mm].")
    base_usual_mm: Millimetres = Field(description="Usual base [mm].")


class ConsideredTargetsAnswer(AnswerModel):
    """Bevels that both skis could be brought to, and what that takes."""

    targets: TargetsAnswer = Field(description="What both skis would have.")
    cost: SteelCostAnswer = Field(description="What that takes.")
    outcome: OutcomeWord = Field(description="The worse of the two plans' verdicts.")


class SkiTuneAnswer(AnswerModel):
    """What is done to one ski of the pair; `POST …/plan` gives the whole plan."""

    name: str = Field(description="The ski: its tag, with its shop where the two differ.")
    targets: TargetsAnswer = Field(
        description="What is set on it; besides what was apart, a bevel that the grind takes off."
    )
    operations: list[str] = Field(description="The steps of its plan, in order.")
    spent: SpentAnswer = Field(description="What they take off.")
    services: list[ReserveCostAnswer] = Field(description="The same in usual services.")
    verdict: VerdictAnswer = Field(description="Whether it can be carried out, and why not.")


class PairTuneAnswer(AnswerModel):
    """The tune that brings the pair together for the least steel; nothing of it is stored."""

    targets: TargetsAnswer = Field(description="What both skis have afterwards.")
    first: SkiTuneAnswer = Field(description="What is done to the ski that was asked for.")
    second: SkiTuneAnswer = Field(description="What is done to the other one.")
    cost: SteelCostAnswer = Field(description="Off both together.")
    considered: list[ConsideredTargetsAnswer] = Field(
        description="All that was tried, base bevels and sides apart, the best first."
    )
    sentence: str = Field(description="Why these.")
    method: str = Field(description="The rule.")


class PairNowAnswer(AnswerModel):
    """Two skis that are used together, compared as they are now."""

    ski: SkiTag = Field(description="The ski that was asked for.")
    joined: JoinedAnswer = Field(description="Which tags were joined, and by which links.")
    other_joined: JoinedAnswer = Field(description="The same for the other ski.")
    pair: PairedAnswer = Field(description="The other ski, and the record that pairs them.")
    other_pairs: list[PairedAnswer] = Field(
        description="Other skis that it was paired with, the latest record first."
    )
    as_of: date = Field(description="The day it holds for.")
    outcome: Together = Field(description="`apart` as soon as one thing is.")
    differences: list[PairDifferenceAnswer] = Field(description="Everything compared.")
    tune: PairTuneAnswer | None = Field(
        default=None, description="What brings the bevels together; absent where none is apart."
    )
    measure_first: list[str] = Field(description="What would decide what is undecided.")
    remarks: list[str] = Field(description="What no tune can mend.")

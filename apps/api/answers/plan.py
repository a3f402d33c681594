"""What a planned tune would take off, whether enough is left, and cheaper ways."""

from __future__ import annotations

from datetime import date
from typing import Literal

from pydantic import Field

from apps.api.answers.base import AnswerModel
from apps.api.answers.figures import (
    BoundedDeg,
    BoundedMm,
    EdgeName,
    FindingAnswer,
    FindingKeyAnswer,
    MaterialName,
    Millimetres,
    Services,
    StandingWord,
)
from apps.api.answers.joined import JoinedAnswer
from apps.records.place import SkiTag

BasisWord = Literal["geometry", "readings", "stated", "practice"]


class BudgetAnswer(AnswerModel):
    """Material of which there is only so much."""

    quantity: MaterialName = Field(description="What.")
    edge: EdgeName | None = Field(default=None, description="Whose edge; absent for the base.")


class TakenAnswer(AnswerModel):
    """Material that is taken off: the usual amount between two limits, and what it rests on."""

    low_mm: Millimetres = Field(description="Least [mm].")
    usual_mm: Millimetres = Field(description="Usually [mm].")
    high_mm: Millimetres = Field(description="Most [mm].")
    basis: BasisWord = Field(
        description="`geometry`, `readings`, `stated` in the request, or `practice`."
    )


class TakenPerEdge(AnswerModel):
    """What is taken off each edge."""

    left: TakenAnswer = Field(description="Left edge.")
    right: TakenAnswer = Field(description="Right edge.")


class SpentAnswer(AnswerModel):
    """What a step or a plan takes off."""

    edge_height_mm: TakenPerEdge = Field(description="Off the edge height.")
    edge_width_mm: TakenPerEdge = Field(description="Off the edge width.")
    base_mm: TakenAnswer = Field(description="Off the base.")


class ReasonAnswer(AnswerModel):
    """Why a plan is not feasible or not decided."""

    code: Literal["below-least", "near-least", "not-measured"] = Field(
        description="Stable name of the reason."
    )
    message: str = Field(description="For a person.")
    budget: BudgetAnswer | None = Field(default=None, description="The material it is about.")
    left_mm: BoundedMm | None = Field(
        default=None, description="What the plan would leave of it [mm]."
    )
    least_mm: Millimetres | None = Field(default=None, description="The shop's least of it [mm].")


class MeasureAnswer(AnswerModel):
    """What to measure before the work begins."""

    what: str = Field(description="The quantity.")
    sentence: str = Field(description="For a person.")
    edge: EdgeName | None = Field(default=None, description="On which edge.")


class VerdictAnswer(AnswerModel):
    """Whether a plan can be carried out (the three zones of ISO 14253-1)."""

    outcome: Literal["feasible", "not_feasible", "undecided"] = Field(
        description="`undecided`: it can't be told before something is measured."
    )
    reasons: list[ReasonAnswer] = Field(description="Empty for a feasible plan.")
    measure_first: list[MeasureAnswer] = Field(description="What would decide it.")
    unchecked: list[BudgetAnswer] = Field(
        description="Material that the plan takes and whose amount nobody knows."
    )


class PlanStepAnswer(AnswerModel):
    """One step, in the trade's order."""

    operation: str = Field(description="A word of the step vocabulary.")
    edges: list[EdgeName] = Field(description="Edges it works.")
    why: str = Field(description="What it is for.")
    taken: SpentAnswer = Field(description="What it takes off.")
    top_of_side_mm: TakenPerEdge = Field(
        description="Steel off the upper end of the side face, which costs no edge width."
    )
    cautions: list[str] = Field(description="Codes of the usual cautions.")
    only_if_needed: bool = Field(
        description="True where only something nobody measured could ask for the step."
    )


class ReserveCostAnswer(AnswerModel):
    """The cost of one material, counted in usual services of the shop."""

    budget: BudgetAnswer = Field(description="The material.")
    low: Services = Field(description="Least [services].")
    usual: Services = Field(description="Usually [services].")
    high: Services = Field(description="Most [services].")
    basis: BasisWord = Field(description="What the usual service rests on.")


class PlannedBevel(AnswerModel):
    """One bevel and whether it stands."""

    standing: StandingWord = Field(description="Whether it stands.")
    bevel_deg: BoundedDeg | None = Field(default=None, description="The bevel [deg].")


class PlannedEdge(AnswerModel):
    """One edge; what is not known is absent."""

    base_bevel: PlannedBevel = Field(description="Base bevel.")
    side_bevel: PlannedBevel = Field(description="Side bevel.")
    facet_width_mm: BoundedMm | None = Field(default=None, description="Base facet left [mm].")
    facet_measured: bool = Field(description="False where practice stands in for the facet.")
    edge_height_mm: BoundedMm | None = Field(default=None, description="Edge height left [mm].")
    edge_width_mm: BoundedMm | None = Field(default=None, description="Edge width left [mm].")


class CrossShapeAnswer(AnswerModel):
    """Shape of the base across the ski."""

    hollow_mm: BoundedMm = Field(description="How far the base lies below the line [mm].")
    crown_mm: BoundedMm = Field(description="How far it lies above the line [mm].")


class BenchStateAnswer(AnswerModel):
    """The ski as it lies on the bench; what is not known is absent."""

    left: PlannedEdge = Field(description="Left edge.")
    right: PlannedEdge = Field(description="Right edge.")
    base_thickness_mm: BoundedMm | None = Field(default=None, description="Base left [mm].")
    shape: CrossShapeAnswer | None = Field(default=None, description="What a true bar showed.")
    findings: list[FindingAnswer] = Field(description="What is still open.")
    centre_groove_width_mm: Millimetres | None = Field(
        default=None, description="Width of the centre groove [mm]."
    )


class DemandAnswer(AnswerModel):
    """What a base bevel asks of the ground plane."""

    taken: TakenAnswer = Field(description="Least grind that closes it.")
    certain: bool = Field(description="False when that hangs on a bevel nobody knows.")


class DemandPerEdge(AnswerModel):
    """What the base bevel wanted on each edge asks for."""

    left: DemandAnswer = Field(description="Left edge.")
    right: DemandAnswer = Field(description="Right edge.")


class GroundPlaneAnswer(AnswerModel):
    """How deep the one ground plane goes, and on whose account."""

    need: Literal["yes", "perhaps", "no"] = Field(
        description="`perhaps`: only something nobody measured could ask for it."
    )
    steel: TakenAnswer = Field(description="Off the edge height of both edges.")
    base: TakenAnswer = Field(description="Off the base where it loses most.")
    closing: DemandPerEdge = Field(description="What the base bevels ask for.")
    flatness: TakenAnswer | None = Field(
        default=None, description="What flatness asks for; absent where it wasn't asked."
    )
    grind_out: TakenAnswer = Field(description="What damage to be ground out asks for.")
    governed_by: Literal["flatness", "closing", "grind_out", "nothing"] = Field(
        description="The purpose that asks for most."
    )
    shape_known: bool = Field(description="False when no true bar was laid on.")
    depth_missing: list[FindingKeyAnswer] = Field(
        description="Findings to be ground out whose depth nobody measured."
    )


class CautionAnswer(AnswerModel):
    """One of the usual cautions."""

    code: str = Field(description="Stable name.")
    sentence: str = Field(description="For a person.")
    sources: list[str] = Field(description="What it rests on.")


class PlanWarningAnswer(AnswerModel):
    """Something to know before the work begins."""

    code: str = Field(description="Stable name.")
    message: str = Field(description="For a person.")
    edge: EdgeName | None = Field(default=None, description="On which edge.")


class SavingAnswer(AnswerModel):
    """What a cheaper way leaves on the ski."""

    budget: BudgetAnswer = Field(description="The material.")
    usual_mm: Millimetres = Field(description="Usually [mm].")
    high_mm: Millimetres = Field(description="At most [mm].")


class PlanOptionAnswer(AnswerModel):
    """A cheaper tune: what it saves and what it gives up."""

    code: str = Field(description="Stable name.")
    sentence: str = Field(description="What is done otherwise.")
    gives_up: list[str] = Field(description="What this one hasn't; empty for the same end.")
    saves: list[SavingAnswer] = Field(description="Material that stays on the ski.")
    verdict: VerdictAnswer = Field(description="Whether this one can be carried out.")
    steps: list[PlanStepAnswer] = Field(description="Its steps.")
    spent: SpentAnswer = Field(description="What it takes off.")
    services: list[ReserveCostAnswer] = Field(description="The same in usual services.")
    after: BenchStateAnswer = Field(description="The state it leaves.")


class PlanAnswer(AnswerModel):
    """What a tune would take off; nothing of it is stored, and no binding setting is computed."""

    ski: SkiTag = Field(description="The ski that was asked for.")
    joined: JoinedAnswer = Field(description="Which tags were joined, and by which links.")
    as_of: date = Field(description="The day whose condition it starts from.")
    verdict: VerdictAnswer = Field(description="Whether it can be carried out, and why not.")
    steps: list[PlanStepAnswer] = Field(description="In the trade's order.")
    plane: GroundPlaneAnswer = Field(description="The one ground plane.")
    spent: SpentAnswer = Field(description="What all steps take off together.")
    services: list[ReserveCostAnswer] = Field(description="The same in usual services.")
    before: BenchStateAnswer = Field(description="The state reckoned with.")
    after: BenchStateAnswer = Field(description="The state it leaves.")
    warnings: list[PlanWarningAnswer] = Field(description="What to know beforehand.")
    cautions: list[CautionAnswer] = Field(description="The usual cautions, each once.")
    options: list[PlanOptionAnswer] = Field(description="Cheaper ways, best first.")

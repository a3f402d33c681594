"""Steel and base left: what was read, what later work took, what is still unknown."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from apps.api.answers.base import AnswerModel
from apps.api.answers.figures import (
    DatedAnswer,
    EdgeName,
    Ids,
    LengthAnswer,
    MaterialName,
    Millimetres,
)
from apps.records.primitives import RecordId

EDGE = "Whose edge; absent for the base."


class MaterialReadingAnswer(DatedAnswer):
    """One reading as it was recorded, beside what the fit makes of it."""

    value_mm: Millimetres = Field(description="As recorded [mm].")
    expanded_uncertainty_mm: Millimetres = Field(description="k = 2 [mm].")
    uncertainty_assumed: bool = Field(
        description="True where the record states none and the shop's practice stands in."
    )
    moment: Literal["before", "after"] | None = Field(
        default=None, description="Before or after the work of that visit."
    )
    instrument: str | None = Field(default=None, description="As recorded.")
    fitted_mm: Millimetres | None = Field(
        default=None,
        description="The closest falling fit here [mm]; absent for an edge that is gone.",
    )
    rises: bool = Field(
        description="True where it lies above an earlier reading by more than both uncertainties "
        "explain."
    )
    shared_uncertainty_mm: Millimetres = Field(
        description="The part of the uncertainty that all readings of this gauge have in common, "
        "by practice [mm], k = 2; averaging leaves it."
    )


class SharedPartAnswer(AnswerModel):
    """What the common error of one gauge contributes to a figure, by practice."""

    shop: str = Field(description="Handle of the shop whose gauge it is.")
    instrument: str | None = Field(
        default=None, description="Which gauge; absent for those that the shop didn't name."
    )
    standard_uncertainty: Millimetres = Field(description="The contribution [mm], k = 1.")


class TakenSinceAnswer(AnswerModel):
    """What the work after the last reading took, the stated and the unstated apart."""

    stated_mm: Millimetres = Field(description="Sum of what records state [mm].")
    low_mm: Millimetres = Field(description="Least that unstated work took, by practice [mm].")
    usual_mm: Millimetres = Field(description="What it usually takes, by practice [mm].")
    high_mm: Millimetres = Field(description="Most it took, by practice [mm].")
    steps: int = Field(description="Steps that took anything.")
    unstated_steps: int = Field(description="Those of them for which practice stands in.")
    rests_on: Ids


class ServiceRateAnswer(AnswerModel):
    """What one usual service takes off."""

    low_mm: Millimetres = Field(description="Least [mm].")
    usual_mm: Millimetres = Field(description="Usually [mm].")
    high_mm: Millimetres = Field(description="Most [mm].")
    basis: Literal["readings", "practice", "stated"] = Field(
        description="From the shop's own readings, from its practice, or as asked for."
    )


class ServicesLeftAnswer(AnswerModel):
    """Whole services that a reserve is good for."""

    services: int | None = Field(
        default=None, description="At the usual rate; absent where that rate is zero."
    )
    low: int | None = Field(
        default=None, description="At the worst; absent where even that takes nothing."
    )
    high: int | None = Field(
        default=None, description="At the best; absent where that rate is zero."
    )
    rate: ServiceRateAnswer = Field(description="The rate and what it rests on.")


class MaterialLeftAnswer(AnswerModel):
    """Material left now at one place, from the readings taken there."""

    quantity: MaterialName = Field(description="What was measured.")
    edge: EdgeName | None = Field(default=None, description=EDGE)
    station: str | None = Field(default=None, description="The named place along the ski.")
    position_mm: int | None = Field(default=None, description="Distance from the tail [mm].")
    left: LengthAnswer = Field(description="Left now.")
    at_last_reading: LengthAnswer = Field(description="The fit at the last reading alone.")
    taken_since: TakenSinceAnswer = Field(description="What later work took.")
    reserve: LengthAnswer = Field(
        description="Left above the shop's least; negative when below it."
    )
    least_mm: Millimetres = Field(description="The shop's least [mm], practice.")
    services: ServicesLeftAnswer = Field(description="Services that the reserve is good for.")
    readings: list[MaterialReadingAnswer] = Field(
        description="The readings since the edge was last replaced, in order of time."
    )
    shared: list[SharedPartAnswer] = Field(
        description="What the common error of each gauge contributes to the uncertainty of `left`."
    )


class UnmeasuredAnswer(AnswerModel):
    """Material that nobody measured, or not since the edge was replaced."""

    quantity: MaterialName = Field(description="What is unknown.")
    edge: EdgeName | None = Field(default=None, description=EDGE)
    sentence: str = Field(description="Why, and what to measure.")
    since: RecordId | None = Field(
        default=None, description="The edge replacement that ended the earlier readings."
    )


class ReplacedReadingsAnswer(AnswerModel):
    """Readings of an edge that was replaced since: shown, and used for nothing."""

    quantity: MaterialName = Field(description="What was measured.")
    edge: EdgeName | None = Field(default=None, description=EDGE)
    station: str | None = Field(default=None, description="The named place along the ski.")
    position_mm: int | None = Field(default=None, description="Distance from the tail [mm].")
    replaced_by: RecordId = Field(description="Record of the replacement.")
    readings: list[MaterialReadingAnswer] = Field(description="In order of time.")


class TakenOnRecordAnswer(AnswerModel):
    """What all work on record took off; never mixed with readings."""

    quantity: MaterialName = Field(description="What was taken.")
    edge: EdgeName | None = Field(default=None, description=EDGE)
    steps: int = Field(description="Steps that took or may have taken any.")
    stated_mm: Millimetres = Field(description="Sum of what records state [mm].")
    unstated_steps: int = Field(description="Steps that state none.")
    low_mm: Millimetres = Field(description="Least those took, by practice [mm].")
    usual_mm: Millimetres = Field(description="What those usually take, by practice [mm].")
    high_mm: Millimetres = Field(description="Most those took, by practice [mm].")
    basis: Literal["readings", "practice", "readings less practice"] = Field(
        description="Basis of the three amounts."
    )
    rests_on: Ids


class MaterialAnswer(AnswerModel):
    """Steel and base of one ski."""

    known: list[MaterialLeftAnswer] = Field(description="One for each place with readings.")
    unknown: list[UnmeasuredAnswer] = Field(description="What nobody measured.")
    taken: list[TakenOnRecordAnswer] = Field(description="What the work on record took.")
    replaced: list[ReplacedReadingsAnswer] = Field(
        description="Readings of edges that were replaced since."
    )

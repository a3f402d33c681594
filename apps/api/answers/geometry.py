"""What was measured of the base and the finished tune: ways to flat, twist, texture, verdicts."""

from __future__ import annotations

import math
from datetime import date
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from apps.api.answers.base import AnswerModel
from apps.api.answers.figures import (
    DatedAnswer,
    Degrees,
    EdgeName,
    Ids,
    LengthAnswer,
    Micrometres,
    Millimetres,
    PlaceAnswer,
    Probability,
    WidthMillimetres,
)
from apps.records.primitives import RecordId


def _rounded_down(decimals: int) -> BeforeValidator:
    """Round a gauge's uncertainty down, so that one as sure as the number shown decides."""

    def down(value: object) -> object:
        return (
            math.floor(value * 10**decimals) / 10**decimals if isinstance(value, float) else value
        )

    return BeforeValidator(down)


DecidingDegrees = Annotated[Degrees, _rounded_down(2)]
DecidingMillimetres = Annotated[Millimetres, _rounded_down(3)]
ShapeWord = Literal["flat", "concave", "convex", "uneven"]
OutcomeWord = Literal["pass", "fail", "undecided", "unmeasured"]
OUTCOME = (
    "`pass` or `fail` where it is proved, `undecided` where the gauge is too unsure, `unmeasured` "
    "where nobody measured after the work."
)
PROBABILITY = "Probability that it conforms [1]."


class CentreGrooveAnswer(AnswerModel):
    """The centre groove, which is left out of true-bar profiles."""

    width_mm: WidthMillimetres = Field(description="Width [mm]; 0.0 for a base without one.")
    measured: bool = Field(description="True where a bench measured it, false where described.")
    record: RecordId = Field(description="The record it rests on.")


class CutAnswer(AnswerModel):
    """What one way to a flatter base takes, and the shape it leaves."""

    left_edge: LengthAnswer = Field(description="Taken off the left edge.")
    right_edge: LengthAnswer = Field(description="Taken off the right edge.")
    greatest: LengthAnswer = Field(description="Taken where it takes most.")
    straightness_after: LengthAnswer = Field(description="Straightness that is left.")
    shape_after: ShapeWord = Field(description="Shape that is left, by the shop's tolerance.")


class WaysToFlatAnswer(AnswerModel):
    """Three ways to a flatter base."""

    to_flat: CutAnswer = Field(description="Least grind that touches the base everywhere.")
    to_tolerance: CutAnswer = Field(description="Least grind that reaches the shop's tolerance.")
    edges_only: CutAnswer | None = Field(
        default=None,
        description="Only the edges, 2 mm wide by practice, filed down to the base; absent where "
        "too few points lie between them.",
    )


class TwistAnswer(AnswerModel):
    """How the base turns between two stations, if the bar was held to one plane at each."""

    from_mm: int = Field(description="The station nearer the tail [mm from the tail].")
    to_mm: int = Field(description="The station nearer the tip [mm from the tail].")
    deg_per_m: Degrees = Field(
        description="Turn for each metre towards the tip [deg/m]; above zero where the right side "
        "rises."
    )
    low_deg_per_m: Degrees = Field(description="Lower limit [deg/m], k = 2.")
    high_deg_per_m: Degrees = Field(description="Upper limit [deg/m], k = 2.")
    method: str = Field(description="Name of the rule that gave it.")
    sentence: str = Field(description="For a person, with what it takes for granted.")
    rests_on: Ids


class TextureHeightAnswer(AnswerModel):
    """One height parameter of the texture [um]."""

    value: Micrometres = Field(description="The parameter [um].")
    low: Micrometres | None = Field(
        default=None, description="Lower limit [um], by Student's t from the sections' scatter."
    )
    high: Micrometres | None = Field(default=None, description="Upper limit [um], likewise.")
    method: str = Field(description="The parameter and the standard that defines it.")


class TextureSpacingAnswer(AnswerModel):
    """The spacing parameter of the texture [mm]."""

    value: Millimetres = Field(description="The parameter [mm].")
    low: Millimetres | None = Field(
        default=None, description="Lower limit [mm], by Student's t from the elements' scatter."
    )
    high: Millimetres | None = Field(default=None, description="Upper limit [mm], likewise.")
    method: str = Field(description="The parameter and the standard that defines it.")


class TextureAnswer(DatedAnswer):
    """The structure of the base from the latest trace, and whether that still holds."""

    place: PlaceAnswer = Field(description="Where it was taken.")
    stale_since: RecordId | None = Field(
        default=None, description="The first later record that worked the base plane."
    )
    ra_um: TextureHeightAnswer | None = Field(
        default=None, description="Arithmetic mean height Ra [um]."
    )
    rq_um: TextureHeightAnswer | None = Field(
        default=None, description="Root mean square height Rq [um]."
    )
    rz_um: TextureHeightAnswer | None = Field(default=None, description="Maximum height Rz [um].")
    rsm_mm: TextureSpacingAnswer | None = Field(
        default=None,
        description="Mean profile element spacing RSm [mm]; absent where the trace holds no whole "
        "hill with its dale.",
    )
    points: int = Field(description="Heights in the trace.")
    spacing_um: Micrometres = Field(description="Distance between two heights [um].")
    evaluation_length_mm: Millimetres = Field(description="Length of the trace [mm].")
    sections: int = Field(description="Sections that Rz is the mean of.")
    section_length_mm: Millimetres = Field(
        description="Length of each [mm]; results compare only at equal section length."
    )
    standard: str = Field(description="The standard whose definitions were used.")
    stated_standard: str | None = Field(
        default=None, description="The standard that the record says it follows."
    )
    conditions: str = Field(description="How the trace was treated.")
    sentence: str = Field(description="For a person.")
    rests_on: Ids


class BevelCheckAnswer(AnswerModel):
    """One bevel of one edge against its target."""

    edge: EdgeName = Field(description="Seen from above, tip forward.")
    face: Literal["base", "side"] = Field(description="Which bevel.")
    station_from_mm: int | None = Field(
        default=None, description="Beginning of the stretch measured [mm from the tail]."
    )
    station_to_mm: int | None = Field(
        default=None, description="End of the stretch measured [mm from the tail]."
    )
    target_deg: Degrees = Field(description="As the job states it [deg].")
    lower_deg: Degrees | None = Field(
        default=None, description="Least that conforms [deg]; absent where none can lie below."
    )
    upper_deg: Degrees = Field(description="Most that conforms [deg], by the shop's practice.")
    measured_deg: Degrees | None = Field(default=None, description="As measured [deg].")
    expanded_uncertainty_deg: Degrees | None = Field(default=None, description="k = 2 [deg].")
    uncertainty_assumed: bool = Field(
        description="True where the record states none and the shop's practice stands in."
    )
    instrument: str | None = Field(default=None, description="As recorded.")
    outcome: OutcomeWord = Field(description=OUTCOME)
    probability: Probability | None = Field(default=None, description=PROBABILITY)
    guard_band_deg: Degrees | None = Field(
        default=None, description="Width beside one limit where nothing is proved [deg]."
    )
    deciding_uncertainty_deg: DecidingDegrees | None = Field(
        default=None,
        description="Largest expanded uncertainty (k = 2) that decides at this reading [deg]; "
        "absent where no gauge could.",
    )
    sentence: str = Field(description="For a person.")
    rests_on: Ids


class FlatnessCheckAnswer(AnswerModel):
    """The straightness of one true-bar profile against its target."""

    place: PlaceAnswer | None = Field(
        default=None, description="Where the profile was taken; absent where nobody took one."
    )
    upper_mm: Millimetres = Field(description="Most that conforms [mm].")
    straightness: LengthAnswer | None = Field(default=None, description="As measured.")
    outcome: OutcomeWord = Field(description=OUTCOME)
    probability: Probability | None = Field(default=None, description=PROBABILITY)
    guard_band_mm: Millimetres | None = Field(
        default=None, description="Width beside the limit where nothing is proved [mm]."
    )
    deciding_uncertainty_mm: DecidingMillimetres | None = Field(
        default=None,
        description="Largest expanded uncertainty (k = 2) of the straightness that decides at "
        "this reading [mm]; absent where no gauge could.",
    )
    sentence: str = Field(description="For a person.")
    rests_on: Ids


class JobConformityAnswer(AnswerModel):
    """Whether a finished tune met its target, by what was measured after it."""

    job: RecordId = Field(description="The job that states the target.")
    day: date = Field(description="Day of the job.")
    outcome: OutcomeWord = Field(
        description="The first of `fail`, `undecided`, `unmeasured`, `pass` among the checks."
    )
    method: str = Field(description="The standard whose rule decided.")
    required_probability: Probability = Field(description="How sure a verdict has to be [1].")
    bevels: list[BevelCheckAnswer] = Field(description="Each bevel that the target asks for.")
    flatness: list[FlatnessCheckAnswer] = Field(
        description="Each profile, where the target asks for flatness."
    )
    sentence: str = Field(description="For a person.")
    rests_on: Ids

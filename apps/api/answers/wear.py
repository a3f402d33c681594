"""The wear of one ski: what a service takes off it, how many are left, and when it is worn out."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import Field

from apps.api.answers.base import AnswerModel
from apps.api.answers.figures import EdgeName, Factor, Ids, MaterialName, Millimetres, PlaceAnswer
from apps.api.answers.joined import JoinedAnswer
from apps.records.place import SkiTag

EndingWord = Literal["known", "no-end-in-sight", "unknown"]
Ending = Annotated[
    EndingWord,
    Field(
        description="`no-end-in-sight` where by its rate it never wears out, or only after the "
        "year 2200; `unknown` where `measure` says what is missing."
    ),
]


class LineAnswer(AnswerModel):
    """A straight line through the levels read, over the services: shown, and used for nothing."""

    rate_mm: Millimetres = Field(description="What a service takes off by it [mm].")
    standard_uncertainty_mm: Millimetres | None = Field(
        default=None, description="From the scatter about the line [mm], k = 1."
    )


class WearRateAnswer(AnswerModel):
    """What one service takes off the ski: its own readings drawn to the fleet's rate."""

    value_mm: Millimetres = Field(description="Best estimate [mm].")
    low_mm: Millimetres = Field(description="Lower limit [mm].")
    high_mm: Millimetres = Field(description="Upper limit [mm].")
    own_mm: Millimetres | None = Field(
        default=None,
        description="By its own readings alone [mm]; absent without a service between two.",
    )
    own_weight: Factor = Field(
        description="How much of the rate is its own [1]: 0 is the fleet's, 1 its own."
    )
    place: PlaceAnswer | None = Field(
        default=None, description="Where its own readings were taken, the worse of several places."
    )
    readings: int = Field(description="Readings there.")
    services: int = Field(description="Services between those readings.")
    line: LineAnswer | None = Field(
        default=None, description="By a straight line; absent for fewer than three levels."
    )
    basis: Literal["readings", "practice"] = Field(
        description="What it is drawn to: the readings of the asking shop's fleet, or its practice "
        "where fewer than three of its skis have a service between readings."
    )


class ServicesToComeAnswer(AnswerModel):
    """Services the ski is still good for, from now on; whole ones, rounded down."""

    outcome: Ending
    value: int | None = Field(default=None, description="Best estimate [1].")
    low: int | None = Field(default=None, description="Lower limit [1].")
    high: int | None = Field(
        default=None, description="Upper limit [1]; absent where no end is in sight."
    )


class LastDayAnswer(AnswerModel):
    """The day of the service that takes the ski below the least."""

    outcome: Ending
    value: date | None = Field(default=None, description="Best estimate.")
    low: date | None = Field(default=None, description="The earliest day.")
    high: date | None = Field(
        default=None, description="The latest day; absent where no end is in sight."
    )


class PaceAnswer(AnswerModel):
    """How often the ski is serviced, as far as use is on record."""

    services_a_season: Factor | None = Field(
        default=None, description="On the mean, drawn to the fleet's [1]; absent where unknown."
    )
    basis: Literal["readings", "stated", "unknown"] = Field(
        description="Days out on record, of the ski and of the asking shop's fleet; the forecast "
        "that was asked with; or nothing."
    )
    sentence: str = Field(description="For a person.")
    rests_on: Ids


class WearAnswer(AnswerModel):
    """The wear of one edge or of the base."""

    quantity: MaterialName = Field(description="What wears.")
    edge: EdgeName | None = Field(default=None, description="The edge; absent for the base.")
    least_mm: Millimetres = Field(description="The asking shop's least [mm], practice.")
    level_mm: Millimetres | None = Field(
        default=None,
        description="Last level read, less what other work took since [mm]; absent where nobody "
        "measured it. What the services since took is reckoned with `rate`.",
    )
    level_at: PlaceAnswer | None = Field(
        default=None, description="Where: of several places the one with the least left."
    )
    services_since: int | None = Field(
        default=None, description="Services since that level; absent with it."
    )
    rate: WearRateAnswer = Field(description="What one service takes off.")
    services_left: ServicesToComeAnswer = Field(description="Until it is below the least.")
    exhausted_on: LastDayAnswer = Field(description="When that is, by its use.")
    pace: PaceAnswer = Field(description="How often it is serviced.")
    confidence: Factor = Field(description="Chance that the truth lies between two limits [1].")
    method: str = Field(description="Name of the rule.")
    sentence: str = Field(description="What the rate rests on, for a person.")
    measure: list[str] = Field(
        description="What to measure or record where something is unknown or not its own."
    )
    rests_on: Ids


class SkiWearAnswer(AnswerModel):
    """The wear of a ski, edge by edge and of the base."""

    ski: SkiTag = Field(description="The tag that was asked for.")
    joined: JoinedAnswer = Field(description="Which tags were joined, and by which links.")
    as_of: date = Field(description="The day from which seasons are counted.")
    in_fleet: bool = Field(
        description="Whether it counts in the fleet it is drawn to: a ski of the asking shop that "
        "is neither retired, sold nor missing."
    )
    wear: list[WearAnswer] = Field(description="Both edges in height and width, and the base.")
    fleet_rates: str = Field(description="Address of the rates of the asking shop's fleet.")

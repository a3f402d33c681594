"""A shop's fleet: the folded state of its skis, what is due and why, and what is to come."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import Field

from apps.api.answers.base import AnswerModel
from apps.api.answers.figures import (
    Factor,
    Ids,
    MaterialName,
    Millimetres,
    StandingWord,
    Tenths,
)

Basis = Literal["readings", "practice", "readings less practice"]
StatusWord = Literal["in_service", "on_bench", "quarantined", "retired", "sold", "missing"]
SeverityWord = Literal["slight", "moderate", "severe"]
Link = Annotated[
    str, Field(description="Address of its condition, with every figure's method and records.")
]
Shop = Annotated[str, Field(description="Handle of the shop.")]
Tag = Annotated[str, Field(description="Its tag.")]
NEXT = (
    "Address of the next page; absent on the last one. The list is of now: a ski that changes "
    "between two pages may be seen twice or not at all."
)


class FleetRow(AnswerModel):
    """A ski as it was folded at its last record; what is unknown is absent."""

    shop: Shop
    tag: Tag
    tags: int = Field(
        description="Tags on the ski, of all shops that agree on it; each shop has it in its fleet."
    )
    apart: Literal["contested", "too-many"] | None = Field(
        default=None,
        description="Why links that would join it with other tags don't: a shop says that two of "
        "them are on two skis, or they are more than eight. Absent where nothing is kept apart.",
    )
    status: StatusWord | None = Field(default=None, description="As last stated.")
    base_bevel_standing: StandingWord = Field(description="Of all edges the one that needs most.")
    side_bevel_standing: StandingWord = Field(description="Of all edges the one that needs most.")
    open_findings: int = Field(description="How many are still to be mended.")
    worst_severity: SeverityWord | None = Field(default=None, description="Of the open findings.")
    worst_finding_day: date | None = Field(
        default=None, description="When the worst of them was found, of equals the first."
    )
    edge_height_least_mm: Millimetres | None = Field(
        default=None, description="At the scarcest place of both edges [mm]."
    )
    edge_height_low_mm: Millimetres | None = Field(default=None, description="Lower limit [mm].")
    edge_height_high_mm: Millimetres | None = Field(default=None, description="Upper limit [mm].")
    edge_height_basis: Basis | None = Field(default=None, description="What it rests on.")
    edge_width_least_mm: Millimetres | None = Field(
        default=None, description="At the scarcest place of both edges [mm]."
    )
    edge_width_low_mm: Millimetres | None = Field(default=None, description="Lower limit [mm].")
    edge_width_high_mm: Millimetres | None = Field(default=None, description="Upper limit [mm].")
    edge_width_basis: Basis | None = Field(default=None, description="What it rests on.")
    base_thickness_least_mm: Millimetres | None = Field(
        default=None, description="At the scarcest place [mm]."
    )
    base_thickness_low_mm: Millimetres | None = Field(default=None, description="Lower limit [mm].")
    base_thickness_high_mm: Millimetres | None = Field(
        default=None, description="Upper limit [mm]."
    )
    base_thickness_basis: Basis | None = Field(default=None, description="What it rests on.")
    services_left: int | None = Field(
        default=None, description="At the usual rate of the shop's practice."
    )
    services_left_low: int | None = Field(default=None, description="At the worst.")
    services_left_high: int | None = Field(default=None, description="At the best.")
    grinds: int = Field(description="Steps on record that ground the base.")
    jobs: int = Field(description="Visits to a bench on record.")
    last_job_day: date | None = Field(default=None, description="Day of the last one.")
    days_since_job: int | None = Field(
        default=None, description="Days from then to the day asked for [d]."
    )
    days_out: int | None = Field(default=None, description="All days out on record [d].")
    days_out_since_job_low: int | None = Field(
        default=None, description="Least days out since the last job [d], of all without a job."
    )
    days_out_since_job_high: int | None = Field(
        default=None, description="Most days out since the last job [d], of all without a job."
    )
    due_on: date | None = Field(
        default=None, description="The first day on which it is due by the shop's intervals."
    )
    warnings: int = Field(description="Where its history contradicts itself.")
    folded_on: date = Field(description="Day of its last record.")
    condition: Link


class FleetPage(AnswerModel):
    """A page of the own fleet."""

    as_of: date = Field(description="The day from which days are counted.")
    items: list[FleetRow] = Field(description="The skis in the order asked for.")
    next: str | None = Field(default=None, description=NEXT)


class DueReason(AnswerModel):
    """One reason why a ski is due."""

    code: Literal["finding", "days-out", "forecast", "date", "no-job"] = Field(
        description="`finding`: an open one that the shop mends; `days-out`: the shop's days out "
        "are reached on record; `forecast`: they are reached by the ski's own use in season; "
        "`date`: the shop's days since the last job are over; `no-job`: the same since the first "
        "record, because no job is on record."
    )
    sentence: str = Field(description="For a person.")
    due_on: date = Field(description="The day on which it became or becomes due by this.")
    earliest: date | None = Field(
        default=None, description="Lower limit of a forecast, 90 % between both."
    )
    latest: date | None = Field(
        default=None,
        description="Upper limit of a forecast. Both are absent where fewer than three stretches "
        "between reports of use say nothing of the spread.",
    )
    elapsed_days: int = Field(description="Days gone of the interval [d].")
    elapsed_low_days: int | None = Field(
        default=None,
        description="At the least, where one report of use covers days before and after the job "
        "[d].",
    )
    allowed_days: int = Field(description="The shop's interval [d], practice.")
    urgency: Factor = Field(description="How far the interval is used up [1]; 1.00 is just due.")
    basis: Literal["records", "forecast"] = Field(
        description="Days on record, or the ski's own use carried on."
    )
    method: str = Field(description="Name of the rule.")
    rests_on: Ids


class DueRow(AnswerModel):
    """A ski that is due, with every reason."""

    shop: Shop
    tag: Tag
    status: StatusWord | None = Field(default=None, description="As last stated.")
    due_on: date = Field(description="The first day on which it became or becomes due.")
    urgency: Factor = Field(
        description="The greatest of the reasons [1]; the list is sorted by it."
    )
    reasons: list[DueReason] = Field(description="The most urgent first.")
    condition: Link


class DuePage(AnswerModel):
    """A page of the skis that are due, the most urgent first."""

    as_of: date = Field(description="The day for which it is asked.")
    until: date = Field(description="The last day on which a ski may become due.")
    items: list[DueRow] = Field(description="The most urgent first, ties by tag.")
    next: str | None = Field(default=None, description=NEXT)


class PolicyAnswer(AnswerModel):
    """How the services to come differ from those now."""

    removal_factor: Factor = Field(description="What one takes off over what it takes now [1].")
    services_factor: Factor = Field(description="Services in a season over those now [1].")


class CountAnswer(AnswerModel):
    """A number of skis between limits."""

    expected: Tenths = Field(description="On the mean [1].")
    low: int = Field(description="Lower limit, a whole number.")
    high: int = Field(description="Upper limit, a whole number.")


class MonthAnswer(AnswerModel):
    """The fleet at the end of one month."""

    month: str = Field(description="Year and month, YYYY-MM.")
    below: CountAnswer = Field(description="Skis below the shop's least by then.")
    spared: CountAnswer | None = Field(
        default=None, description="How many fewer than as now; only where a policy is asked for."
    )


class FleetRateAnswer(AnswerModel):
    """What one usual service takes off the skis of the fleet."""

    quantity: MaterialName = Field(description="What it takes.")
    mean_mm: Millimetres = Field(description="On the mean of the skis [mm].")
    low_mm: Millimetres = Field(
        description="Lower limit [mm]: 90 % between both by readings, else that of practice."
    )
    high_mm: Millimetres = Field(description="Upper limit [mm], likewise.")
    between_skis_mm: Millimetres = Field(
        description="Standard deviation between the true rates of the skis [mm]."
    )
    between_services_mm: Millimetres = Field(
        description="Standard deviation of one service about its ski's rate [mm]."
    )
    skis: int = Field(description="Skis with a service between two readings.")
    readings: int = Field(description="Readings of those skis.")
    services: int = Field(description="Services between the readings.")
    few_readings: int = Field(
        description="Skis with fewer than three readings: their rate is the fleet's, or nearly so."
    )
    own_weight: Factor | None = Field(
        default=None,
        description="How much of a ski's rate is its own, on the mean of the skis with a service "
        "between readings [1]: 0 is the fleet's, 1 its own.",
    )
    basis: Literal["readings", "practice"] = Field(
        description="Practice where fewer than three skis have a service between readings."
    )
    scatter_basis: Literal["readings", "practice"] = Field(
        description="What `between_services_mm` rests on."
    )
    method: str = Field(description="Name of the rule.")
    sentence: str = Field(description="For a person.")


class FleetUseAnswer(AnswerModel):
    """How often the skis will be serviced."""

    services_a_season: Factor | None = Field(
        default=None, description="On the mean of the skis that are reckoned with [1]."
    )
    basis: Literal["readings", "stated", "unknown"] = Field(
        description="Days out on record, the forecast that was asked with, or nothing."
    )
    sentence: str = Field(description="For a person.")
    season_first: str = Field(description="First day of the shop's season, MM-DD, practice.")
    season_last: str = Field(description="Last day of the shop's season, MM-DD, practice.")


class OutlookAnswer(AnswerModel):
    """How many skis of the fleet fall below the shop's least by each month to come."""

    as_of: date = Field(description="The day from which it is reckoned.")
    quantity: MaterialName = Field(description="What runs out.")
    least_mm: Millimetres = Field(description="The shop's least [mm], practice.")
    policy: PolicyAnswer = Field(description="The policy that was asked for; 1.00 is as now.")
    skis: int = Field(description="Skis that are reckoned with.")
    unknown: int = Field(
        description="Skis whose material or use nobody knows; they are guessed at nowhere."
    )
    confidence: Factor = Field(description="Chance that the number lies between its limits [1].")
    method: str = Field(description="Name of the rule.")
    months: list[MonthAnswer] = Field(description="At the end of each month, this one first.")
    rate: FleetRateAnswer = Field(description="What a service takes off.")
    use: FleetUseAnswer = Field(description="What is expected of the use.")
    skis_at: str = Field(description="Address of the skis it rests on.")


class OperationRateAnswer(AnswerModel):
    """What one run of an operation takes off here."""

    operation: str = Field(description="The operation.")
    quantity: MaterialName = Field(description="What it takes.")
    pairs: int = Field(description="Pairs of readings before and after it.")
    mean_mm: Millimetres | None = Field(
        default=None, description="Mean of the pairs alone [mm], also where they are too few."
    )
    spread_mm: Millimetres | None = Field(
        default=None, description="Their standard deviation [mm]; absent for a single pair."
    )
    low_mm: Millimetres = Field(description="Lower limit of the rate to use [mm].")
    usual_mm: Millimetres = Field(description="The rate to use [mm].")
    high_mm: Millimetres = Field(description="Upper limit of the rate to use [mm].")
    basis: Literal["readings", "practice"] = Field(
        description="The mean of the pairs with its 95 % interval, or the shop's practice."
    )
    method: str = Field(description="Name of the rule.")
    sentence: str = Field(description="For a person.")
    rests_on: Ids


class RatesAnswer(AnswerModel):
    """What each operation, and one usual service, takes off in this shop."""

    operations: list[OperationRateAnswer] = Field(
        description="Each operation with a pair of readings before and after it, from the latest "
        "300 visits with any."
    )
    services: list[FleetRateAnswer] = Field(
        description="What one usual service takes off the own skis, from their readings between "
        "visits, for each quantity."
    )

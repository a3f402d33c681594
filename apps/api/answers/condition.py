"""The state of a ski now: bevels with their standing, flatness, findings, use, doubts."""

from __future__ import annotations

from datetime import date
from typing import Literal

from pydantic import Field, model_validator

from apps.api.answers.base import AnswerModel
from apps.api.answers.figures import (
    DatedAnswer,
    Degrees,
    EdgeName,
    FindingAnswer,
    Ids,
    LengthAnswer,
    Millimetres,
    PlaceAnswer,
    StandingWord,
)
from apps.api.answers.geometry import (
    CentreGrooveAnswer,
    JobConformityAnswer,
    TextureAnswer,
    TwistAnswer,
    WaysToFlatAnswer,
)
from apps.api.answers.joined import JoinedAnswer
from apps.api.answers.material import MaterialAnswer
from apps.api.answers.shape import ShapeAnswer
from apps.records.place import SkiTag
from apps.records.primitives import RecordId


class StatedBevelAnswer(DatedAnswer):
    """A bevel as a record states it."""

    bevel_deg: Degrees = Field(description="From square [deg].")
    expanded_uncertainty_deg: Degrees = Field(description="k = 2 [deg].")
    uncertainty_assumed: bool = Field(
        description="True where the record states none and the shop's practice stands in."
    )
    basis: Literal["set", "measured", "specified"] = Field(
        description="Set by a bench, measured, or specified by the maker."
    )
    instrument: str | None = Field(default=None, description="As recorded.")
    station_from_mm: int | None = Field(
        default=None, description="Beginning of the stretch [mm from the tail]."
    )
    station_to_mm: int | None = Field(
        default=None, description="End of the stretch [mm from the tail]."
    )


class DoubtfulPlaceAnswer(AnswerModel):
    """A place where work since makes the bevel unknown while the rest is as told."""

    place: PlaceAnswer = Field(description="Where.")
    record: RecordId = Field(description="The record of the work.")


class BevelNowAnswer(AnswerModel):
    """One bevel of one edge, for the whole edge or one stretch of it, and whether it stands."""

    edge: EdgeName = Field(description="Seen from above, tip forward.")
    face: Literal["base", "side"] = Field(description="Which bevel.")
    station_from_mm: int | None = Field(
        default=None, description="Beginning of the stretch [mm from the tail]."
    )
    station_to_mm: int | None = Field(
        default=None, description="End of the stretch [mm from the tail]."
    )
    standing: StandingWord = Field(
        description="`stands`, `partly_ground_away`, `ground_away`, `uncertain` (worked since, to "
        "an unknown depth or bevel) or `never_stated`."
    )
    stated: StatedBevelAnswer | None = Field(
        default=None, description="What was last set or measured."
    )
    facet: LengthAnswer | None = Field(
        default=None, description="Width of the base facet left; absent where it can't be told."
    )
    since: RecordId | None = Field(
        default=None, description="The record that made the standing what it is."
    )
    since_day: date | None = Field(default=None, description="Day of that record.")
    sentence: str = Field(description="The standing for a person, with the reason.")
    doubtful_places: list[DoubtfulPlaceAnswer] = Field(
        description="Places worked on their own since."
    )
    rests_on: Ids


class EdgeBevelsAnswer(AnswerModel):
    """Both bevels of one edge."""

    edge: EdgeName = Field(description="Seen from above, tip forward.")
    base: list[BevelNowAnswer] = Field(
        description="Base bevel: the whole edge first, then stretches stated on their own."
    )
    side: list[BevelNowAnswer] = Field(
        description="Side bevel: the whole edge first, then stretches stated on their own."
    )
    specified_base: list[StatedBevelAnswer] = Field(
        description="What the maker specified for the base bevel; never the bevel now."
    )
    specified_side: list[StatedBevelAnswer] = Field(
        description="What the maker specified for the side bevel; never the bevel now."
    )


class FlatnessAnswer(DatedAnswer):
    """The latest true-bar profile at one place, and whether it still speaks of the base."""

    place: PlaceAnswer = Field(description="Where it was taken.")
    shape: Literal["flat", "concave", "convex", "uneven"] | None = Field(
        default=None, description="Absent where the profile can't be read; the sentence says why."
    )
    straightness: LengthAnswer | None = Field(
        default=None, description="Minimum-zone straightness (ISO 12780-1)."
    )
    hollow: LengthAnswer | None = Field(
        default=None, description="How far the base lies below the line from edge to edge."
    )
    crown: LengthAnswer | None = Field(
        default=None, description="How far the base lies above the line from edge to edge."
    )
    tolerance_mm: Millimetres = Field(description="The shop's tolerance [mm], practice.")
    stale_since: RecordId | None = Field(
        default=None, description="The first later record that worked the base plane."
    )
    sentence: str = Field(description="For a person.")
    points: int = Field(description="Readings of the profile.")
    left_out: int = Field(description="Readings over the centre groove, left out.")
    ways: WaysToFlatAnswer | None = Field(
        default=None, description="What each way to a flatter base would take off."
    )


class OpenFindingAnswer(AnswerModel):
    """A finding that nobody has closed."""

    finding: FindingAnswer = Field(description="What and where.")
    day: date = Field(description="When it was found.")
    author: str = Field(description="Handle of the shop that found it.")


class StatusNowAnswer(DatedAnswer):
    """The latest status."""

    status: Literal["in_service", "on_bench", "quarantined", "retired", "sold", "missing"] = Field(
        description="Where the ski stands in its shop."
    )


class UseAnswer(AnswerModel):
    """Days out on snow, as reported; what was never reported is absent."""

    total_days: int | None = Field(default=None, description="All days reported [d].")
    since_job_low_days: int | None = Field(
        default=None, description="Least days out since the last job [d]."
    )
    since_job_high_days: int | None = Field(
        default=None,
        description="Most days out since the last job [d]; differs from the least where one "
        "report covers days before and after it.",
    )
    days_since_job: int | None = Field(
        default=None, description="Calendar days since the last job [d]."
    )
    last_job: RecordId | None = Field(default=None, description="Record of the last job.")
    rests_on: Ids


class EdgePassesAnswer(AnswerModel):
    """How often each bevel of one edge was worked on record."""

    edge: EdgeName = Field(description="Which edge.")
    side: int = Field(description="Times the side was worked.")
    base: int = Field(description="Times the base bevel was worked.")


class OperationCount(AnswerModel):
    """How many steps name an operation."""

    operation: str = Field(description="The operation.")
    steps: int = Field(description="How many steps name it.")

    @model_validator(mode="before")
    @classmethod
    def _from_pair(cls, value: tuple[str, int]) -> object:
        # The arithmetic counts in plain pairs, which have no attributes to read.
        operation, steps = value
        return {"operation": operation, "steps": steps}


class CountsAnswer(AnswerModel):
    """Plain counts of what is on record."""

    records: int = Field(description="Records in effect.")
    jobs: int = Field(description="Visits to a bench.")
    grinds: int = Field(description="Steps that ground the base by stone or belt.")
    edge_passes: list[EdgePassesAnswer] = Field(description="Left and right.")
    operations: list[OperationCount] = Field(description="Every operation on record, by name.")


class WarningAnswer(AnswerModel):
    """One thing in the history that can't all be true, or hardly."""

    code: str = Field(description="Stable name of the doubt.")
    sureness: Literal["certain", "likely", "possible"] = Field(description="How sure it is.")
    sentence: str = Field(description="For a person.")
    rests_on: Ids


class ConditionAnswer(AnswerModel):
    """A ski as its history leaves it at the end of a day; what nobody measured is absent."""

    ski: SkiTag = Field(description="The ski that was asked for.")
    joined: JoinedAnswer = Field(description="Which tags were joined, and by which links.")
    as_of: date = Field(description="The day it holds for.")
    bevels: list[EdgeBevelsAnswer] = Field(description="Left and right.")
    material: MaterialAnswer = Field(description="Steel and base left, and what is unknown.")
    flatness: list[FlatnessAnswer] = Field(description="Latest profile of each place.")
    open_findings: list[OpenFindingAnswer] = Field(description="What is still to be mended.")
    status: StatusNowAnswer | None = Field(
        default=None, description="Absent where nobody stated one."
    )
    use: UseAnswer = Field(description="Days out.")
    counts: CountsAnswer = Field(description="What is on record.")
    warnings: list[WarningAnswer] = Field(description="Where the history contradicts itself.")
    centre_groove: CentreGrooveAnswer | None = Field(
        default=None, description="Absent where nobody said anything of it."
    )
    twist: list[TwistAnswer] = Field(
        description="Between stations with a profile that holds, from the tail; over all last."
    )
    texture: TextureAnswer | None = Field(
        default=None, description="From the latest trace; absent where nobody took one."
    )
    conformity: JobConformityAnswer | None = Field(
        default=None,
        description="Whether the latest job with a target that can be measured met it.",
    )
    shape: ShapeAnswer = Field(description="Widths and turn radius, each with its method.")

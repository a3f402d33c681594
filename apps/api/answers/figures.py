"""Computed numbers in answers: strings with a fixed step, with limits, method and basis."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema

from apps.api.answers.base import AnswerModel
from apps.records.primitives import RecordId


def _written(decimals: int) -> BeforeValidator:
    """Write a computed float with its fixed number of decimals, never as minus zero."""

    def write(value: object) -> object:
        if isinstance(value, bool) or not isinstance(value, float | int):
            return value
        return f"{round(value, decimals) + 0.0:.{decimals}f}"

    return BeforeValidator(write)


def _schema(decimals: int, unit: str) -> WithJsonSchema:
    pattern = f"^-?(0|[1-9][0-9]*)\\.[0-9]{{{decimals}}}$"
    step = f"{10**-decimals:.{decimals}f}"
    return WithJsonSchema({"type": "string", "pattern": pattern, "x-unit": unit, "x-step": step})


Millimetres = Annotated[str, _written(3), _schema(3, "mm")]
Probability = Annotated[str, _written(4), _schema(4, "1")]
Micrometres = Annotated[str, _written(2), _schema(2, "um")]
WidthMillimetres = Annotated[str, _written(1), _schema(1, "mm")]
Degrees = Annotated[str, _written(2), _schema(2, "deg")]
Metres = Annotated[str, _written(1), _schema(1, "m")]
FineMetres = Annotated[str, _written(2), _schema(2, "m")]
Factor = Annotated[str, _written(2), _schema(2, "1")]
Amount = Annotated[str, _written(3), _schema(3, "as the unit beside it says")]
Freedom = Annotated[str, _written(1), _schema(1, "1")]
Services = Annotated[str, _written(2), _schema(2, "1")]
Tenths = Annotated[str, _written(1), _schema(1, "1")]
EdgeName = Literal["left", "right"]
MaterialName = Literal["edge_height", "edge_width", "base_thickness"]
StandingWord = Literal["stands", "partly_ground_away", "ground_away", "uncertain", "never_stated"]
Ids = Annotated[list[RecordId], Field(description="Ids of the records it rests on.")]


class PlaceAnswer(AnswerModel):
    """A place on the ski; what is absent was not narrowed down."""

    edge: EdgeName | None = Field(default=None, description="The edge.")
    surface: str | None = Field(default=None, description="The surface.")
    station: str | None = Field(default=None, description="The named place along the ski.")
    position_mm: int | None = Field(default=None, description="Distance from the tail [mm].")
    length_mm: int | None = Field(default=None, description="Length of the stretch [mm].")


class LengthAnswer(AnswerModel):
    """A computed length between its limits, by what method, resting on what."""

    value_mm: Millimetres = Field(description="Best estimate [mm].")
    low_mm: Millimetres = Field(
        description="Lower limit [mm], by the coverage factor or where another reading sets it."
    )
    high_mm: Millimetres = Field(
        description="Upper limit [mm], by the coverage factor or where another reading sets it."
    )
    expanded_uncertainty_mm: Millimetres = Field(
        description="The wider of the two sides [mm], for those who show one number only."
    )
    method: str = Field(description="Name of the rule that gave it.")
    basis: Literal["readings", "practice", "readings less practice"] = Field(
        description="What it rests on: records alone, a shop's practice alone, or the first less "
        "the second."
    )
    rests_on: Ids
    coverage_factor: Factor = Field(
        description="k of the limits [1]: 2 where uncertainties were stated, by Student's t where "
        "they had to be estimated from few readings (JCGM 100:2008, G.3)."
    )
    degrees_of_freedom: Freedom | None = Field(
        default=None,
        description="Effective ones [1] (Welch and Satterthwaite); absent where nothing limits "
        "them, because the uncertainties were stated.",
    )
    confidence: Literal["about 95 %", "about 95 % if practice holds", "by practice alone"] = Field(
        description="How sure it is that the true value lies between the limits."
    )


class BoundedMm(AnswerModel):
    """A length between the limits within which it lies [mm]."""

    value: Millimetres = Field(description="Best estimate [mm].")
    low: Millimetres = Field(description="Lower limit [mm].")
    high: Millimetres = Field(description="Upper limit [mm].")


class BoundedDeg(AnswerModel):
    """An angle between the limits within which it lies [deg]."""

    value: Degrees = Field(description="Best estimate [deg].")
    low: Degrees = Field(description="Lower limit [deg].")
    high: Degrees = Field(description="Upper limit [deg].")


class FindingKeyAnswer(AnswerModel):
    """Which finding: the record that holds it and its place in that record's list."""

    record: RecordId = Field(description="Id of the job.")
    index: int = Field(description="Place in the job's list, counted from 0.")


class FindingAnswer(AnswerModel):
    """What was found and is still open."""

    key: FindingKeyAnswer = Field(description="How a plan or a later job names it.")
    what: str = Field(description="What was found.")
    severity: Literal["slight", "moderate", "severe"] = Field(description="How bad it is.")
    place: PlaceAnswer = Field(description="Where.")
    depth_mm: Millimetres | None = Field(default=None, description="Greatest depth [mm].")
    width_mm: Millimetres | None = Field(default=None, description="Greatest width [mm].")


class DatedAnswer(AnswerModel):
    """Base of what one record said on one day."""

    record: RecordId = Field(description="Id of the record.")
    day: date = Field(description="Day of that record.")

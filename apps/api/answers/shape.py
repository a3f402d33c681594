"""Length, widths and turn radius of a ski, each with where it comes from."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from apps.api.answers.base import AnswerModel
from apps.api.answers.figures import Ids, Metres, Millimetres, WidthMillimetres
from apps.records.primitives import RecordId


class WidthAnswer(AnswerModel):
    """A width or chord, and where it comes from."""

    value_mm: WidthMillimetres = Field(description="The value [mm].")
    source: Literal["measured", "described", "computed"] = Field(
        description="Measured by a bench; as a description says; or found in a row of widths."
    )
    method: str | None = Field(default=None, description="How it was computed.")
    record: RecordId = Field(description="The record it rests on.")


class RadiusAnswer(AnswerModel):
    """A turn radius by one method; the same ski has different radii by different methods."""

    radius_m: Metres = Field(description="Radius of the sidecut [m].")
    method: str = Field(
        description="`measured`, `declared`, `chord`, `exact-chord` or `least-squares`."
    )
    residual_rms_mm: Millimetres | None = Field(
        default=None, description="Distance of the widths from the circle [mm], for a fit only."
    )
    rests_on: Ids


class UnknownRadius(AnswerModel):
    """Why a method gives no radius here."""

    method: str = Field(description="The method.")
    sentence: str = Field(description="What is missing or at odds.")


class ShapeAnswer(AnswerModel):
    """Widths and turn radius; measured values stand before described ones."""

    shovel: WidthAnswer | None = Field(default=None, description="Widest place of the front.")
    waist: WidthAnswer | None = Field(default=None, description="Narrowest place.")
    tail: WidthAnswer | None = Field(default=None, description="Widest place of the rear.")
    chord: WidthAnswer | None = Field(
        default=None, description="Straight distance between the widest points."
    )
    radii: list[RadiusAnswer] = Field(description="Every radius that can be told.")
    unknown: list[UnknownRadius] = Field(description="Methods that give none, and why.")

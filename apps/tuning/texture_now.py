"""What the latest texture trace says of the structure of the base, and whether it still holds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from apps.tuning.coverage import USUAL_CONFIDENCE
from apps.tuning.errors import TuningError
from apps.tuning.flatness_now import worked_since
from apps.tuning.history import Place, TextureTrace, Visit
from apps.tuning.texture import (
    LEAST_POINTS_PER_SECTION,
    STANDARD,
    USUAL_SECTIONS,
    Trace,
    about_mean,
    section_peaks_um,
    texture,
)
from apps.tuning.texture_spacing import element_spacings_mm
from apps.tuning.timeline import AFTER, BEFORE, Timed, timed_steps
from apps.tuning.uncertainty import USUAL_COVERAGE_FACTOR, coverage_factor

CONDITIONS = (
    "No filter was applied and only the mean was taken out: the trace counts as a roughness "
    "profile, and whatever form or waviness the instrument left in it counts as roughness."
)
RA = "arithmetic mean height Ra"
RQ = "root mean square height Rq"
RZ = "maximum height Rz"
RSM = "mean profile element spacing RSm"


@dataclass(frozen=True, slots=True)
class TextureFigure:
    """One texture parameter between its limits.

    Attributes
    ----------
    value : float
        In the unit that its holder names.
    low, high : float or None
        Limits by Student's t from the scatter of the sections, and from the uncertainty of one
        height where it was stated; None where one section alone tells of no scatter.
    method : str
        Name of the parameter and the standard that defines it.
    """

    value: float
    low: float | None
    high: float | None
    method: str


@dataclass(frozen=True, slots=True)
class TextureNow:
    """The latest texture trace, and whether it still speaks of the base.

    Attributes
    ----------
    place : Place
        Where it was taken.
    record : str
        Id of the record with the trace.
    day : date
        Day of that record.
    stale_since : str or None
        First later record that worked the base plane; None where the trace still holds.
    ra_um, rq_um, rz_um : TextureFigure or None
        Ra, Rq and Rz [um]; None where the trace is too short.
    rsm_mm : TextureFigure or None
        RSm [mm]; None where the trace holds no whole hill with its dale.
    points : int
        Heights in the trace.
    spacing_um : float
        Distance between two heights [um].
    evaluation_length_mm : float
        Length of the trace [mm].
    sections : int
        Sections that Rz is the mean of; 5, fewer for a short trace.
    section_length_mm : float
        Length of each [mm]; results compare only at equal section length.
    standard : str
        The standard whose definitions were used.
    stated_standard : str or None
        The standard that the record says it follows.
    conditions : str
        How the trace was treated.
    sentence : str
        For a person.
    rests_on : tuple of str
        Ids of the records behind it.
    """

    place: Place
    record: str
    day: date
    stale_since: str | None
    ra_um: TextureFigure | None
    rq_um: TextureFigure | None
    rz_um: TextureFigure | None
    rsm_mm: TextureFigure | None
    points: int
    spacing_um: float
    evaluation_length_mm: float
    sections: int
    section_length_mm: float
    standard: str
    stated_standard: str | None
    conditions: str
    sentence: str
    rests_on: tuple[str, ...]


def texture_of(ordered: Sequence[Visit]) -> TextureNow | None:
    """Tell the texture from the latest trace, None where nobody took one.

    Parameters
    ----------
    ordered : sequence of Visit
        In order of time.

    Notes
    -----
    Source: ISO 21920-2:2021; limits by JCGM 100:2008, 4.2 and G.3.
    """
    traces = [
        Timed((number, BEFORE if trace.moment == "before" else AFTER, index), visit, trace)
        for number, visit in enumerate(ordered)
        for index, trace in enumerate(visit.traces)
    ]
    if not traces:
        return None
    latest = max(traces, key=lambda one: one.when)
    return _now(latest, worked_since(latest.when, latest.item.place, timed_steps(ordered)))


@dataclass(frozen=True, slots=True)
class _Figures:
    ra: TextureFigure | None = None
    rq: TextureFigure | None = None
    rz: TextureFigure | None = None
    rsm: TextureFigure | None = None


def _now(one: Timed[TextureTrace], stale: str | None) -> TextureNow:
    item, points = one.item, len(one.item.height_um)
    sections = max(1, min(USUAL_SECTIONS, points // LEAST_POINTS_PER_SECTION))
    length_mm = item.spacing_um * points / 1000.0
    try:
        trace = Trace(item.spacing_um, item.height_um)
        found, sentence = _figures(trace, sections, item.uncertainty_um), _told(one, stale)
    except TuningError as refused:
        found = _Figures()
        sentence = f"The trace of {one.visit.day} can't be read. {refused}"
    return TextureNow(
        item.place,
        one.visit.record,
        one.visit.day,
        stale,
        found.ra,
        found.rq,
        found.rz,
        found.rsm,
        points,
        item.spacing_um,
        length_mm,
        sections,
        length_mm / sections,
        STANDARD,
        item.standard,
        CONDITIONS,
        sentence,
        (one.visit.record,),
    )


def _told(one: Timed[TextureTrace], stale: str | None) -> str:
    told = f"Structure as traced on {one.visit.day}"
    return f"{told}; the base was worked since." if stale else f"{told}."


def _figures(trace: Trace, sections: int, height_uncertainty_um: float | None) -> _Figures:
    found = texture(trace, sections)
    parts = np.array_split(about_mean(trace), sections)
    reading = (height_uncertainty_um or 0.0) / USUAL_COVERAGE_FACTOR
    mean_off, height_off = reading / math.sqrt(len(trace.height_um)), reading * math.sqrt(2.0)
    squares = [float((part**2).mean()) for part in parts]
    # From squares to their root: du = dv / (2 u); a flat trace has no scatter to pass on.
    root = 2.0 * found.rq_um or 1.0
    heights = [peak + pit for peak, pit in section_peaks_um(trace, sections)]
    absolutes = [float(np.abs(part).mean()) for part in parts]
    return _Figures(
        _figure(found.ra_um, absolutes, mean_off, RA),
        _figure(found.rq_um, [square / root for square in squares], mean_off, RQ),
        _figure(found.rz_um, heights, height_off / math.sqrt(sections), RZ),
        _spacing(trace, sections),
    )


def _spacing(trace: Trace, sections: int) -> TextureFigure | None:
    spacings = element_spacings_mm(trace, sections)
    if not spacings:
        return None
    # Counted from both ends the elements overlap, so only one count tells of their scatter.
    once = spacings[: len(spacings) // 2]
    return _figure(float(np.mean(spacings)), once, 0.0, RSM)


def _figure(value: float, parts: Sequence[float], reading: float, name: str) -> TextureFigure:
    method = f"{name}, {STANDARD}"
    if len(parts) < 2:
        return TextureFigure(value, None, None, method)
    scatter = float(np.std(parts, ddof=1)) / math.sqrt(len(parts))
    factor = coverage_factor(len(parts) - 1, USUAL_CONFIDENCE)
    off = math.hypot(factor * scatter, USUAL_COVERAGE_FACTOR * reading)
    return TextureFigure(value, max(0.0, value - off), value + off, method)

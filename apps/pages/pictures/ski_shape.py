"""The outline of a ski from its widths: how wide it is at each place along it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy.interpolate import CubicHermiteSpline, PchipInterpolator

OutlineBasis = Literal["measured", "described", "unknown"]

# Practice, no source: where a description gives three widths and no places. The shares are those
# of the racing rule's own stations on a ski whose waist lies at 0.44 of its length.
REAR_SHARE, WAIST_SHARE, CHORD_SHARE = 0.28, 0.465, 0.84
TIP_ROUNDNESS, TAIL_ROUNDNESS = 2.2, 4.0
"""Exponents of the curves that close the ends: for the drawing, since nobody measures them."""

SAMPLES = 91

NOMINAL_LENGTH_MM, NOMINAL_WIDTH_MM = 1700.0, 80.0
STATIONS = ("tip", "shovel", "forebody", "waist", "rearbody", "tail")


@dataclass(frozen=True, slots=True)
class WidthRow:
    """Widths measured along a ski [mm], positions from the tail and rising."""

    positions_mm: tuple[float, ...]
    widths_mm: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class SkiShape:
    """What is known of the outline of a ski; whatever is None nobody stated.

    Attributes
    ----------
    length_mm : float or None
        As marked [mm].
    shovel_mm, waist_mm, tail_mm : float or None
        Widths at the widest place of the front, the narrowest, the widest of the rear [mm].
    chord_mm : float or None
        Between the two widest places [mm].
    row : WidthRow or None
        Widths measured along it, which count before the three.
    """

    length_mm: float | None = None
    shovel_mm: float | None = None
    waist_mm: float | None = None
    tail_mm: float | None = None
    chord_mm: float | None = None
    row: WidthRow | None = None

    @property
    def basis(self) -> OutlineBasis:
        """What the outline rests on."""
        if self.row is not None:
            return "measured"
        known = self.shovel_mm and self.waist_mm and self.tail_mm
        return "described" if known else "unknown"

    @property
    def is_placed(self) -> bool:
        """Whether it is known where the widths are, and not only how wide they are."""
        return self.row is not None


class Outline:
    """Half of a ski's width along it, through every width that is given.

    Parameters
    ----------
    shape : SkiShape
        What is known; a plain bar where no width is.

    Notes
    -----
    Between two widths: piecewise cubics that neither overshoot nor add a waist of their own,
    F. N. Fritsch and R. E. Carlson, SIAM J. Numer. Anal. 17 (1980) 238 (from memory), as SciPy
    has them. Past the outermost widths the ends are rounded off, which nobody measures.
    """

    def __init__(self, shape: SkiShape) -> None:
        self.shape = shape
        self.length_mm = _length_mm(shape)
        self.stations_mm = _stations_mm(shape, self.length_mm)
        self.knots_mm = tuple(self._given())
        along, wide = (np.array(one) for one in zip(*self.knots_mm, strict=True))
        slopes = PchipInterpolator(along, wide).derivative()(along)
        if shape.row is None:
            # The two outer widths are the widest by their definition.
            slopes[[0, -1]] = 0.0
        self._curve = CubicHermiteSpline(along, wide, slopes)

    def half_width_mm(self, position_mm: float) -> float:
        """Half the width at a place [mm from the tail]; the nearest end's past an end."""
        if self.shape.basis == "unknown":
            return NOMINAL_WIDTH_MM / 2.0
        place = min(max(position_mm, 0.0), self.length_mm)
        first, last = self.knots_mm[0][0], self.knots_mm[-1][0]
        wide = float(self._curve(min(max(place, first), last))) / 2.0
        if place < first:
            return wide * _rounded((first - place) / first, TAIL_ROUNDNESS)
        if place > last:
            return wide * _rounded((place - last) / (self.length_mm - last), TIP_ROUNDNESS)
        return wide

    def places_mm(self) -> tuple[float, ...]:
        """Places along the ski that draw it well: close at the ends, and every width given."""
        turn = np.linspace(0.0, np.pi, SAMPLES)
        spread = (self.length_mm * (1.0 - np.cos(turn)) / 2.0).tolist()
        return tuple(sorted({*spread, *(place for place, _ in self.knots_mm)}))

    def _given(self) -> Iterator[tuple[float, float]]:
        row, shape, at = self.shape.row, self.shape, self.stations_mm
        if row is not None:
            yield from zip(row.positions_mm, row.widths_mm, strict=True)
            return
        for name, width_mm in (
            ("tail", shape.tail_mm),
            ("waist", shape.waist_mm),
            ("shovel", shape.shovel_mm),
        ):
            yield at[name], width_mm or NOMINAL_WIDTH_MM


def _rounded(share: float, exponent: float) -> float:
    """From 1 at the last width to 0 at the end of the ski."""
    left: float = 1.0 - min(share, 1.0) ** exponent
    return math.pow(left, 1.0 / exponent)


def _length_mm(shape: SkiShape) -> float:
    """As marked; else as far as widths were measured, or by what practice makes of the chord."""
    measured = 0.0 if shape.row is None else shape.row.positions_mm[-1]
    chord = shape.chord_mm or 0.0
    if shape.length_mm is not None:
        return max(shape.length_mm, measured, chord)
    return max(measured, chord / CHORD_SHARE) or NOMINAL_LENGTH_MM


def _stations_mm(shape: SkiShape, length_mm: float) -> dict[str, float]:
    """Where the named places are [mm from the tail]."""
    if shape.row is not None:
        tail, waist, shovel = _measured_stations(shape.row, length_mm)
    else:
        chord = CHORD_SHARE * length_mm if shape.chord_mm is None else shape.chord_mm
        tail = REAR_SHARE * (length_mm - chord)
        shovel, waist = tail + chord, tail + WAIST_SHARE * chord
    return {
        "tail": tail,
        "rearbody": (tail + waist) / 2.0,
        "waist": waist,
        "forebody": (waist + shovel) / 2.0,
        "shovel": shovel,
        "tip": (shovel + length_mm) / 2.0,
    }


def _measured_stations(row: WidthRow, length_mm: float) -> tuple[float, float, float]:
    pairs = list(zip(row.positions_mm, row.widths_mm, strict=True))
    middle = length_mm / 2.0
    rear = [pair for pair in pairs if pair[0] < middle] or pairs[:1]
    front = [pair for pair in pairs if pair[0] >= middle] or pairs[-1:]
    tail = max(rear, key=lambda pair: pair[1])[0]
    shovel = max(front, key=lambda pair: pair[1])[0]
    between = [pair for pair in pairs if tail < pair[0] < shovel]
    waist = min(between, key=lambda pair: pair[1])[0] if between else (tail + shovel) / 2.0
    return tail, waist, shovel

"""Rows of widths of invented skis: arcs of known radius, exact or with noise of a known seed."""

from collections.abc import Sequence

import numpy as np

AT = [100.0 * number for number in range(1, 18)]


def arc(radius_m: float, waist_mm: float = 68.0, at: Sequence[float] = AT) -> list[float]:
    """Widths on a circle whose waist lies at 900 mm."""
    radius = radius_m * 1000
    along = np.array(at) - 900.0
    widths: list[float] = (waist_mm + 2 * (radius - np.sqrt(radius**2 - along**2))).tolist()
    return widths


def two_arcs(rear_m: float, front_m: float, at: Sequence[float] = AT) -> list[float]:
    """Widths with one radius behind the waist and another before it."""
    rear, front = arc(rear_m, at=at), arc(front_m, at=at)
    return [r if place < 900 else f for place, r, f in zip(at, rear, front, strict=True)]


def noisy(widths: Sequence[float], sigma_mm: float, seed: int) -> list[float]:
    """The same widths with normal noise."""
    generator = np.random.default_rng(seed)
    found: list[float] = (np.array(widths) + generator.normal(0, sigma_mm, len(widths))).tolist()
    return found
